import { describe, expect, it } from 'vitest'
import { deltaE2000 } from '../../../src/colour/deltaE2000.js'
import { unpackPicture } from '../../../src/colour/packedPicture.js'
import { toPicture8 } from '../../../src/colour/toPicture8.js'
import type { Finding } from '../../../src/findings.js'
import type { Source } from '../../../src/raster/Source.js'
import { emptyTile } from '../../../src/raster/Tile.js'
import { labOfLight } from '../../../src/steps/stitch/seams/labOfLight.js'
import { fromRuns } from '../../../src/steps/stitch/seams/runs.js'
import { stitch } from '../../../src/steps/stitch/step.js'
import { readContext, tileSource } from '../../helpers/readContext.js'
import { captureField, type FieldCapture, paintedField, truth } from './paintedField.js'

const PPI = 300
const MIDDLE_Y = 150
/** Where the second capture is darker than the first, and by how much: a shadow all seams must cross. */
const SHADOW_PX = 30
const DARKER = 0.9

const CAPTURES = [0, 250].map(
  (x, i): FieldCapture => ({
    ...{ width: 340, height: 480, x, y: 0, rotationDeg: i, noise: 0.002, seed: i + 1 },
  }),
)

/** The second capture under a soft-edged band of shadow right across it. */
function shadowed(source: Source, capture: FieldCapture): Source {
  const { width, height } = source
  const tile = source.region({ x: 0, y: 0, width, height })
  const out = emptyTile(tile.rect)
  for (let v = 0, i = 0; v < height; v++) {
    for (let u = 0; u < width; u++, i++) {
      const away = Math.abs(truth(capture, u, v)[1] - MIDDLE_Y)
      const share = 1 / (1 + Math.exp((away - SHADOW_PX) / 3))
      for (let c = 0; c < 3; c++) out.planes[c][i] = tile.planes[c][i] * (1 - share * (1 - DARKER))
    }
  }
  return tileSource(out)
}

describe('the worst seam', () => {
  it('is found where one capture is darker, with its size, and shown butted and blended', async () => {
    const field = paintedField(5)
    const [first, second] = CAPTURES.map((capture) => captureField(field, capture))
    const sources = [first, shadowed(second, CAPTURES[1])]
    const params = stitch.params.parse({})
    const reading = await stitch.read(sources, params, readContext(sources, { ppi: PPI }))
    const { x, y, left, top, before, after, pictures } = reading.worstSeam!
    // The sheet begins at the first capture's top, or a little higher where the second one's corner rises above it.
    expect(Math.abs(y - 240 - MIDDLE_Y)).toBeLessThan(SHADOW_PX + 15)
    const paper = labOfLight([0.88, 0.86, 0.8])
    const expected = deltaE2000(paper, labOfLight([0.88 * DARKER, 0.86 * DARKER, 0.8 * DARKER]))
    expect(before).toBeGreaterThan(0.6 * expected)
    expect(before).toBeLessThan(1.5 * expected)
    expect(after).toBeLessThan(before)

    expect(pictures).toHaveLength(2)
    const [width, height] = [pictures[1].width, pictures[1].height]
    const rect = { x: left, y: top, width, height }
    const [sheet] = stitch.apply(sources, JSON.parse(JSON.stringify(reading)), params)
    const shown = unpackPicture(pictures[1]).rgb
    const mean =
      toPicture8(sheet.region(rect)).rgb.reduce((sum, value, i) => sum + Math.abs(value - shown[i]), 0) /
      shown.length
    expect(mean).toBeLessThan(2)

    const findings = stitch.findings(reading, params)
    const picture = findings.find(
      ({ kind, ...rest }) => kind === 'picture' && 'title' in rest && /worst/.test(rest.title),
    )
    const MARGIN = 12
    expect(picture).toMatchObject({
      picture: { width: 2 * (width + 2 * MARGIN), height: height + 2 * MARGIN },
    })
    const drawn = (picture as Extract<Finding, { kind: 'picture' }>).picture
    const at = (px: number, py: number) => drawn.rgb[3 * (py * drawn.width + px)]
    // Ticks stand in the margin where the seam, which runs down here, leaves the picture: above each and below each.
    const seams = reading.layers[0].seams
    const labels = fromRuns(seams.runs, seams.width * seams.height)
    for (const [k, row, margin] of [
      [0, 0, 5],
      [1, 0, 5],
      [0, height - 1, MARGIN + height + 5],
      [1, height - 1, MARGIN + height + 5],
    ]) {
      const cells = Math.floor((top + row) / seams.cellPx) * seams.width
      for (let i = 1; i < width; i++) {
        const [here, before] = [i, i - 1].map((j) => labels[cells + Math.floor((left + j) / seams.cellPx)])
        if (here === before) continue
        expect(at(k * (width + 2 * MARGIN) + MARGIN + i, margin)).toBe(0)
      }
    }
    const dark = Array.from({ length: drawn.width }, (_, px) => at(px, 5)).filter((value) => value === 0)
    expect(dark.length).toBeGreaterThan(0)
    expect(dark.length).toBeLessThan(60)
    // And none lies on the pictures.
    for (let j = 0; j < height; j++) {
      const from = 3 * ((MARGIN + j) * drawn.width + width + 3 * MARGIN)
      expect(drawn.rgb.subarray(from, from + 3 * width)).toEqual(
        shown.subarray(3 * j * width, 3 * (j + 1) * width),
      )
    }
    const mm = (px: number) => ((px / PPI) * 25.4).toFixed(1)
    expect(picture).toMatchObject({
      caption: expect.stringContaining(`${mm(x)} mm from the left, ${mm(y)} mm from the top`),
    })
  })

  it('is left out where no two captures meet', async () => {
    const [only] = CAPTURES.map((capture) => captureField(paintedField(5), capture))
    const params = stitch.params.parse({})
    const reading = await stitch.read([only], params, readContext([only], { ppi: PPI }))
    expect(reading.worstSeam).toBeUndefined()
  })
})
