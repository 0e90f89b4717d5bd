import { expect, it } from 'vitest'
import { capture } from '../../../demo-data/capture.js'
import type { SheetKind } from '../../../demo-data/Painting.js'
import { paint } from '../../../demo-data/paint.js'
import { captureSource } from '../../../src/colour/captureSource.js'
import { spaceTransform } from '../../../src/colour/spaceTransform.js'
import { periodicPeaks } from '../../../src/steps/paper-texture/periodicPeaks.js'
import { fromHalfPlane } from '../../../src/steps/paper-texture/spectrum.js'
import { paperTexture } from '../../../src/steps/paper-texture/step.js'
import { readContext } from '../../helpers/readContext.js'

const PPI = 300

async function peaksOf(sheet: SheetKind) {
  const painting = paint({ seed: 4, width: 700, height: 600, ppi: PPI, sheet })
  const { raster } = capture(painting, {
    ...{ lampFromDeg: 30, lampHeightDeg: 45, falloff: 0, device: 'truth', blurPx: 0.5, turned: 0 },
    ...{ seed: 1, noise: 0.002, gain: 0.8, reliefDepth: 1 },
  })
  const source = captureSource(raster, spaceTransform('sRGB'))
  const reading = await paperTexture.read(
    [source],
    paperTexture.params.parse({}),
    readContext([source], { ppi: PPI }),
  )
  return periodicPeaks(fromHalfPlane(reading.spectrum, 64), 64)
}

it('finds the laid lines where the sheet has them: 0.9 mm apart, one above the other', async () => {
  const [first] = await peaksOf('laid')
  expect((first.periodPx / PPI) * 25.4).toBeGreaterThan(0.85)
  expect((first.periodPx / PPI) * 25.4).toBeLessThan(0.95)
  expect(Math.abs(first.directionDeg)).toBeGreaterThan(80)
  expect(first.share).toBeGreaterThan(0.3)
})

it('finds the threads of a weave in both directions, 0.6 mm or half of it apart', async () => {
  const peaks = await peaksOf('weave')
  const periods = peaks.map(({ periodPx }) => (periodPx / PPI) * 25.4)
  expect(peaks.length).toBeGreaterThanOrEqual(2)
  expect(periods.some((mm) => Math.abs(mm - 0.6) < 0.06)).toBe(true)
  const steep = peaks.map(({ directionDeg }) => Math.abs(directionDeg))
  expect(Math.max(...steep) - Math.min(...steep)).toBeGreaterThan(30)
})

it('finds none in irregular tooth', async () => {
  expect(await peaksOf('tooth')).toEqual([])
})

it('finds a wave between two frequencies', () => {
  const n = 64
  const power = new Float32Array(n * n).fill(1)
  // As much at 7 as at 8 cycles, and the same at the mirrored frequencies.
  for (const [x, y] of [
    [7, 3],
    [8, 3],
  ]) {
    power[y * n + x] = 400
    power[(n - y) * n + n - x] = 400
  }
  const [peak] = periodicPeaks(power, n)
  expect(Math.abs(peak.periodPx - n / Math.hypot(7.5, 3))).toBeLessThan(0.15)
  expect(Math.abs(peak.directionDeg - (Math.atan2(3, 7.5) * 180) / Math.PI)).toBeLessThan(2)
})
