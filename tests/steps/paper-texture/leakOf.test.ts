import { describe, expect, it } from 'vitest'
import { capture } from '../../../demo-data/capture.js'
import { paint } from '../../../demo-data/paint.js'
import { captureSource } from '../../../src/colour/captureSource.js'
import { spaceTransform } from '../../../src/colour/spaceTransform.js'
import { defaultFilter } from '../../../src/steps/paper-texture/defaultFilter.js'
import { leakOf } from '../../../src/steps/paper-texture/leakOf.js'
import { logLuminance } from '../../../src/steps/paper-texture/logLuminance.js'
import { fromHalfPlane } from '../../../src/steps/paper-texture/spectrum.js'
import { paperTexture } from '../../../src/steps/paper-texture/step.js'
import { withoutRelief } from '../../../src/steps/paper-texture/withoutRelief.js'
import { readContext, wholeTile } from '../../helpers/readContext.js'
import { noise } from './pictures.js'

const SIDE = 160

/** Lines and patches in log luminance, and a relief of its own. */
function planes(): { picture: Float32Array; relief: Float32Array } {
  const random = noise(3)
  const relief = Float32Array.from({ length: SIDE * SIDE }, () => 0.1 * random())
  const picture = Float32Array.from({ length: SIDE * SIDE }, (_, i) => {
    const [x, y] = [i % SIDE, Math.floor(i / SIDE)]
    return (x + 2 * y) % 23 < 3 ? -0.7 : x > 90 ? -1.2 : -0.3
  })
  return { picture, relief }
}
const add = (a: Float32Array, b: Float32Array, times = 1) => a.map((v, i) => v + times * b[i])

describe('leakOf', () => {
  const { picture, relief } = planes()
  const captured = add(picture, relief)
  const rms = 0.1 / Math.sqrt(3)

  it('finds nothing where relief alone was taken away', () => {
    expect(leakOf(captured, picture, SIDE, SIDE, rms)).toEqual({ squares: 100, leaking: 0 })
  })

  it('finds every square where a third of the lines went with the relief', () => {
    const faded = picture.map((v) => (2 / 3) * v)
    expect(leakOf(captured, faded, SIDE, SIDE, rms).leaking).toBeGreaterThan(95)
  })

  it('finds nothing where nothing, or half of all relief, was taken away', () => {
    expect(leakOf(captured, captured, SIDE, SIDE, rms).leaking).toBe(0)
    expect(leakOf(captured, add(picture, relief, 0.5), SIDE, SIDE, rms).leaking).toBe(0)
  })
})

describe('the leak of a filter', () => {
  it('tracks what was truly lost, on three sheets at three strengths', async () => {
    const leaks: number[] = []
    const losses: number[] = []
    for (const sheet of ['tooth', 'laid', 'weave'] as const) {
      const painting = paint({ seed: 6, width: 900, height: 600, ppi: 300, sheet })
      const request = {
        ...{ lampFromDeg: 0, lampHeightDeg: 45, falloff: 0, device: 'truth' as const, blurPx: 0.5 },
        ...{ turned: 0 as const, seed: 1, gain: 0.8 },
      }
      const open = (reliefDepth: number, level: number) =>
        captureSource(
          capture(painting, { ...request, reliefDepth, noise: level }).raster,
          spaceTransform('sRGB'),
        )
      const [truth, source] = [open(0, 0), open(1, 0.002)]
      const reading = await paperTexture.read(
        [source],
        paperTexture.params.parse({}),
        readContext([source], { ppi: 300 }),
      )
      const [want, before] = [truth, source].map((picture) => logLuminance(wholeTile(picture)))
      const rms = reading.reliefRmsPercent / 100 / Math.LN2
      for (const times of [0.5, 1, 8]) {
        const params = paperTexture.params.parse({})
        const relief = fromHalfPlane(reading.spectrum, 64)
        const base = defaultFilter(relief, reading.tint, reading.noise, reading.paper, params)
        const filter = {
          ...base,
          pilotOver: times * base.pilotOver,
          pilotBareOver: times * base.pilotBareOver,
          finalOver: times * base.finalOver,
          finalBareOver: times * base.finalBareOver,
        }
        const after = logLuminance(wholeTile(withoutRelief(source, filter)))
        const share = (from: Float32Array) => {
          const { squares, leaking } = leakOf(from, after, 900, 600, rms)
          return (100 * leaking) / squares
        }
        leaks.push(share(before))
        // The same measure with the truth in the capture's place: what is missing is loss and nothing else.
        losses.push(share(want))
      }
    }
    expect(correlation(leaks, losses)).toBeGreaterThan(0.9)
    leaks.forEach((leak, i) => {
      expect(leak).toBeGreaterThan(losses[i] - 1)
    })
  })
})

function correlation(a: readonly number[], b: readonly number[]): number {
  const centred = (values: readonly number[]) => {
    const mean = values.reduce((s, v) => s + v, 0) / values.length
    return values.map((v) => v - mean)
  }
  const dot = (p: number[], q: number[]) => p.reduce((s, v, i) => s + v * q[i], 0)
  const [p, q] = [centred(a), centred(b)]
  return dot(p, q) / Math.sqrt(dot(p, p) * dot(q, q))
}
