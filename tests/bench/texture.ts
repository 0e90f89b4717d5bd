import { capture } from '../../demo-data/capture.js'
import { contrastKept, granulationKept, psnrSrgb, reliefLeftDb } from '../../demo-data/measure.js'
import type { CaptureRequest, PaintedCapture, SheetKind } from '../../demo-data/Painting.js'
import { paint } from '../../demo-data/paint.js'
import { captureSource } from '../../src/colour/captureSource.js'
import { spaceTransform } from '../../src/colour/spaceTransform.js'
import type { Source } from '../../src/raster/Source.js'
import { leakOf } from '../../src/steps/paper-texture/leakOf.js'
import { logLuminance } from '../../src/steps/paper-texture/logLuminance.js'
import { paperTexture } from '../../src/steps/paper-texture/step.js'
import { readContext } from '../helpers/readContext.js'
import { row } from './row.js'

const SHEETS: SheetKind[] = ['tooth', 'laid', 'weave']
const DEPTHS = [0.5, 1, 1.5]
const SIZE = { width: 1500, height: 1000 }

const open = ({ raster }: PaintedCapture): Source => captureSource(raster, spaceTransform('sRGB'))
const whole = (source: Source) => source.region({ x: 0, y: 0, width: source.width, height: source.height })

/**
 * paper-texture on the painter's scenes: three sheets at three depths of relief, one capture each. The truth is the same
 * capture on a sheet without relief and a sensor without noise: optics' blur is not the step's to mend.
 */
export async function texture(): Promise<void> {
  const gains: number[] = []
  const left: number[] = []
  const pencil: number[] = []
  const stroke: number[] = []
  const granulation: number[] = []
  const leak: number[] = []
  for (const sheet of SHEETS) {
    const painting = paint({ seed: 5, ...SIZE, ppi: 300, sheet })
    const request: CaptureRequest = {
      ...{ lampFromDeg: 0, lampHeightDeg: 45, falloff: 0, device: 'truth', blurPx: 0.5, turned: 0, seed: 1 },
      // Exposed so that the relief's highlights are not cut off.
      ...{ noise: 0.002, reliefDepth: 1, gain: 0.8 },
    }
    const truth = whole(open(capture(painting, { ...request, reliefDepth: 0, noise: 0 })))
    for (const reliefDepth of DEPTHS) {
      const source = open(capture(painting, { ...request, reliefDepth }))
      const params = paperTexture.params.parse({})
      const reading = await paperTexture.read([source], params, readContext([source], { ppi: 300 }))
      const captured = whole(source)
      const result = whole(paperTexture.apply([source], reading, params)[0])
      const before = psnrSrgb(truth, captured)
      const gain = psnrSrgb(truth, result) - before
      gains.push(gain)
      left.push(reliefLeftDb(truth, captured, result, painting.blank))
      pencil.push(contrastKept(truth, result, painting.probes, 'pencil'))
      stroke.push(contrastKept(truth, result, painting.probes, 'stroke'))
      granulation.push(granulationKept(truth, result, painting.granulation, painting.blank))
      const [from, to, want] = [captured, result, truth].map(logLuminance)
      const rms = reading.reliefRmsPercent / 100 / Math.LN2
      const share = (before: Float32Array) => {
        const found = leakOf(before, to, SIZE.width, SIZE.height, rms)
        return (100 * found.leaking) / found.squares
      }
      leak.push(share(from))
      const numbers = [left, pencil, stroke, granulation].map((list) => list.at(-1)!.toFixed(2))
      row(
        `${sheet}, depth ${reliefDepth}: ${before.toFixed(1)} dB`,
        `+${gain.toFixed(2)} dB`,
        `blank ${numbers[0]} dB, pencil ${numbers[1]}, stroke ${numbers[2]}, granulation ${numbers[3]}, leak ${leak.at(-1)!.toFixed(1)} % (truly lost ${share(want).toFixed(1)} %)`,
      )
    }
  }
  const mean = (list: number[]) => list.reduce((a, b) => a + b, 0) / list.length
  row('PSNR gain, mean', `${mean(gains).toFixed(2)} dB`, 'at least 8 dB', mean(gains) >= 8)
  row('relief left on blank, mean', `${mean(left).toFixed(1)} dB`, 'at most -20 dB', mean(left) <= -20)
  for (const [name, list, bound] of [
    ['pencil contrast kept, least', pencil, 0.95],
    ['stroke contrast kept, least', stroke, 0.97],
    ['granulation kept, least', granulation, 0.85],
  ] as const) {
    const least = Math.min(...list)
    row(name, least.toFixed(3), `at least ${bound.toFixed(2)}`, least >= bound)
  }
  row('picture in what was taken away, mean', `${mean(leak).toFixed(1)} %`, 'at most 5 %', mean(leak) <= 5)
}
