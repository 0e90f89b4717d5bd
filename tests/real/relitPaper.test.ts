import { describe, expect, it } from 'vitest'
import { capture } from '../../demo-data/capture.js'
import { contrastKept, psnrSrgb, reliefLeftDb } from '../../demo-data/measure.js'
import { paint } from '../../demo-data/paint.js'
import { captureSource } from '../../src/colour/captureSource.js'
import { spaceTransform } from '../../src/colour/spaceTransform.js'
import { paperTexture } from '../../src/steps/paper-texture/step.js'
import { readContext, tileSource, wholeTile } from '../helpers/readContext.js'
import { haveReal } from './realRun.js'
import { relit, SLOPES } from './relit.js'

const SIZE = { width: 1100, height: 750 }

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
