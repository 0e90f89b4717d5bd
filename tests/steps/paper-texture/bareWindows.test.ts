import { beforeAll, describe, expect, it } from 'vitest'
import { capture } from '../../../demo-data/capture.js'
import type { Painting } from '../../../demo-data/Painting.js'
import { paint } from '../../../demo-data/paint.js'
import { captureSource } from '../../../src/colour/captureSource.js'
import { spaceTransform } from '../../../src/colour/spaceTransform.js'
import type { Source } from '../../../src/raster/Source.js'
import type { Tile } from '../../../src/raster/Tile.js'
import { bareWindows } from '../../../src/steps/paper-texture/bareWindows.js'
import { chooseBlank } from '../../../src/steps/paper-texture/chooseBlank.js'
import { colourNoise } from '../../../src/steps/paper-texture/colourNoise.js'
import { reliefTint } from '../../../src/steps/paper-texture/reliefTint.js'
import { sampleGrid } from '../../../src/steps/paper-texture/sampleGrid.js'
import { type WindowFacts, windowFacts } from '../../../src/steps/paper-texture/windowFacts.js'

const SIZE = { width: 1500, height: 1000 }
const NOISE = { seed: 1, noise: 0.002 }

/** The painter's deepest tooth, where pale washes hide under the relief. */
let painting: Painting
let source: Source
let used: WindowFacts[]

beforeAll(() => {
  painting = paint({ seed: 5, ...SIZE, ppi: 300, sheet: 'tooth' })
  const { raster } = capture(painting, {
    ...{ lampFromDeg: 0, lampHeightDeg: 45, falloff: 0, device: 'truth', blurPx: 0.5, turned: 0 },
    ...{ ...NOISE, reliefDepth: 1.5, gain: 0.8 },
  })
  source = captureSource(raster, spaceTransform('sRGB'))
  const rects = sampleGrid({ x: 0, y: 0, ...SIZE }, 64, 2300)
  used = chooseBlank(rects.map((rect) => windowFacts(source.region(rect)))).used
})

/** Share of a window that nothing was painted on. */
function blankShare({ rect }: WindowFacts): number {
  let blank = 0
  for (let y = rect.y; y < rect.y + 64; y++) {
    for (let x = rect.x; x < rect.x + 64; x++) blank += painting.blank[y * SIZE.width + x] ? 1 : 0
  }
  return blank / 64 ** 2
}

const power = (tiles: Tile[]) => {
  const { red, blue } = colourNoise(tiles, [0, 0])
  return [...red, ...blue].reduce((a, b) => a + b, 0)
}
const tiles = (windows: readonly WindowFacts[]) => windows.map(({ rect }) => source.region(rect))

describe('bareWindows', () => {
  it('leaves out the windows with paint that the relief hides in luminance', () => {
    const bare = bareWindows(used)
    expect(used.filter((facts) => blankShare(facts) < 0.9).length).toBeGreaterThan(10)
    expect(bare.length).toBeGreaterThanOrEqual(15)
    // A corner of a pencil line has no colour and may stay.
    expect(Math.min(...bare.map(blankShare))).toBeGreaterThan(0.8)
    expect(bare.reduce((sum, facts) => sum + blankShare(facts), 0) / bare.length).toBeGreaterThan(0.97)
  })

  it('so that neither a tint nor more noise than there is is learned', () => {
    const truly = power(tiles(used.filter((facts) => blankShare(facts) === 1)))
    expect(power(tiles(used)) / truly).toBeGreaterThan(1.3)
    expect(power(tiles(bareWindows(used))) / truly).toBeCloseTo(1, 1)
    expect(reliefTint(bareWindows(used))).toEqual([0, 0])
  })
})

describe('reliefTint', () => {
  it('finds how relief colours the sheet, under noise that is stronger in the ratios than the tint', () => {
    const whole = source.region({ x: 0, y: 0, ...SIZE })
    for (const tint of [
      [0, 0],
      [0.12, -0.2],
    ]) {
      const [toRed, toBlue] = tint
      const coloured = bareWindows(used).map(({ rect }) => {
        const planes = [0, 1, 2].map((c) =>
          new Float32Array(64 * 64).map((_, i) => {
            const at = (rect.y + Math.floor(i / 64)) * SIZE.width + rect.x + (i % 64)
            return whole.planes[c][at] * whole.planes[1][at] ** [toRed, 0, toBlue][c]
          }),
        )
        return windowFacts({ rect, planes: planes as Tile['planes'] })
      })
      const found = reliefTint(coloured)
      expect(found[0]).toBeCloseTo(toRed, 1.5)
      expect(found[1]).toBeCloseTo(toBlue, 1.5)
    }
  })
})
