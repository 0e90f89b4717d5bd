import { describe, expect, it } from 'vitest'
import { capture } from '../../demo-data/capture.js'
import { contrastKept, psnrSrgb, reliefLeftDb } from '../../demo-data/measure.js'
import { paint } from '../../demo-data/paint.js'
import { captureSource } from '../../src/colour/captureSource.js'
import { spaceTransform } from '../../src/colour/spaceTransform.js'
import { decodePicture } from '../../src/files/decodePicture.js'
import type { Tile } from '../../src/raster/Tile.js'
import { paperTexture } from '../../src/steps/paper-texture/step.js'
import { readContext, tileSource, wholeTile } from '../helpers/readContext.js'
import { haveReal, real } from './realRun.js'

// A real rough sheet's slopes (red: across, green: down; mid grey is level), relit from any side over a picture that is
// known: a second truth beside the painter's own sheets. The slopes are semontesdeoca/MNPR's
// at 8acf986, MIT.
const SLOPES = 'paper/rough-relief-slope-height.jpg'
const SIZE = { width: 1100, height: 750 }
/** Slope of full red or green against mid grey, chosen so that the relief is about 5 % RMS, as on a scanned rough sheet. */
const STEEPNESS = 0.5
const AMBIENT = 0.35

async function relit(truth: Tile, fromDeg: number): Promise<Tile> {
  const { raster } = await decodePicture(real(SLOPES))
  const from = (fromDeg * Math.PI) / 180
  const lamp = [Math.sin(from) * Math.SQRT1_2, -Math.cos(from) * Math.SQRT1_2, Math.SQRT1_2]
  const { width, height } = truth.rect
  const planes = truth.planes.map((plane) => plane.slice()) as Tile['planes']
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const at = 3 * (y * raster.width + x)
      const [dx, dy] = [0, 1].map((c) => 2 * STEEPNESS * (raster.data[at + c] / 65535 - 0.5))
      const facing = Math.max(lamp[2] - dx * lamp[0] - dy * lamp[1], 0) / (lamp[2] * Math.hypot(1, dx, dy))
      for (const plane of planes) plane[y * width + x] *= AMBIENT + (1 - AMBIENT) * facing
    }
  }
  return { ...truth, planes }
}

describe.skipIf(!haveReal('A real rough sheet', SLOPES))('a real rough sheet, relit', () => {
  const painting = paint({ seed: 8, ...SIZE, ppi: 300, sheet: 'smooth' })
  const { raster } = capture(painting, {
    ...{ lampFromDeg: 0, lampHeightDeg: 45, falloff: 0, device: 'truth', blurPx: 0.5, turned: 0, seed: 1 },
    ...{ noise: 0, gain: 0.8, reliefDepth: 0 },
  })
  const truth = wholeTile(captureSource(raster, spaceTransform('sRGB')))

  it('from four sides: the sheet goes, the lines stay', async () => {
    const gains: number[] = []
    const left: number[] = []
    for (const fromDeg of [0, 60, 135, 270]) {
      const captured = await relit(truth, fromDeg)
      const source = tileSource(captured)
      const params = paperTexture.params.parse({})
      const reading = await paperTexture.read([source], params, readContext([source], { ppi: 300 }))
      const result = wholeTile(paperTexture.apply([source], reading, params)[0])
      gains.push(psnrSrgb(truth, result) - psnrSrgb(truth, captured))
      left.push(reliefLeftDb(truth, captured, result, painting.blank))
      expect(contrastKept(truth, result, painting.probes, 'pencil')).toBeGreaterThan(0.95)
      expect(contrastKept(truth, result, painting.probes, 'stroke')).toBeGreaterThan(0.97)
      expect(reading.leakPercent).toBeLessThan(5)
    }
    const mean = (values: number[]) => values.reduce((a, b) => a + b, 0) / values.length
    expect(mean(gains)).toBeGreaterThan(8)
    expect(mean(left)).toBeLessThan(-20)
  })
})
