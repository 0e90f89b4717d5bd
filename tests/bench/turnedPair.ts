import { capture } from '../../demo-data/capture.js'
import { contrastKept, granulationKept, psnrSrgb, reliefLeftDb } from '../../demo-data/measure.js'
import type { CaptureRequest, PaintedCapture, Painting, Probe, SheetKind } from '../../demo-data/Painting.js'
import { paint } from '../../demo-data/paint.js'
import { captureSource } from '../../src/colour/captureSource.js'
import { spaceTransform } from '../../src/colour/spaceTransform.js'
import { WorkError } from '../../src/errors.js'
import type { Source } from '../../src/raster/Source.js'
import type { Tile } from '../../src/raster/Tile.js'
import { warpTile } from '../../src/raster/warp/warpTile.js'
import { paperTexture } from '../../src/steps/paper-texture/step.js'
import { stitch } from '../../src/steps/stitch/step.js'
import { readContext } from '../helpers/readContext.js'
import { row } from './row.js'

const SHEETS: SheetKind[] = ['tooth', 'laid', 'weave']
const DEPTHS = [0.5, 1, 1.5]
const SIZE = { width: 1200, height: 800 }
/** What is compared: away from borders that only one capture holds. */
const INNER = { x: 60, y: 60, width: SIZE.width - 120, height: SIZE.height - 120 }

const open = ({ raster }: PaintedCapture): Source => captureSource(raster, spaceTransform('sRGB'))

/** What one way of making the sheet measured, and all that is asked of it. */
class Numbers {
  readonly gain: number[] = []
  readonly blank: number[] = []
  readonly pencil: number[] = []
  readonly stroke: number[] = []
  readonly granulation: number[] = []

  constructor(private readonly name: string) {}

  /** Adds one scene and prints its row. */
  add(scene: string, before: number, gain: number, numbers: readonly number[]): void {
    this.gain.push(gain)
    const lists = [this.blank, this.pencil, this.stroke, this.granulation]
    for (const [k, list] of lists.entries()) list.push(numbers[k])
    row(
      `${this.name}, ${scene}: ${before.toFixed(1)} dB`,
      `+${gain.toFixed(2)} dB`,
      `blank ${numbers[0].toFixed(1)} dB, pencil ${numbers[1].toFixed(3)}, stroke ${numbers[2].toFixed(3)}, granulation ${numbers[3].toFixed(3)}`,
    )
  }

  print(): void {
    const mean = (list: number[]) => list.reduce((a, b) => a + b, 0) / list.length
    const least = (what: string, list: number[], asked: number) =>
      row(
        `${this.name}: ${what} kept, least`,
        Math.min(...list).toFixed(3),
        `at least ${asked}`,
        Math.min(...list) >= asked,
      )
    row(
      `${this.name}: PSNR gain, mean`,
      `${mean(this.gain).toFixed(2)} dB`,
      'at least 18 dB',
      mean(this.gain) >= 18,
    )
    row(
      `${this.name}: relief left on blank, mean`,
      `${mean(this.blank).toFixed(1)} dB`,
      'at most -24 dB',
      mean(this.blank) <= -24,
    )
    least('pencil', this.pencil, 0.98)
    least('stroke', this.stroke, 0.99)
    least('granulation', this.granulation, 0.97)
  }
}

/**
 * A sheet captured twice, once turned by 180 degrees, over three sheets at three depths of relief: what combining leaves,
 * and what paper-texture makes of that. The truth is the same capture of a sheet without relief and a sensor without noise.
 */
export async function turnedPair(): Promise<void> {
  const alone = new Numbers('pair')
  const both = new Numbers('pair + paper-texture')
  for (const sheet of SHEETS) {
    const painting = paint({ seed: 5, ...SIZE, ppi: 300, sheet })
    const blank = cut(painting.blank)
    const granulation = cut(painting.granulation)
    const probes = probesInside(painting)
    for (const reliefDepth of DEPTHS) {
      const request: CaptureRequest = {
        ...{
          lampFromDeg: 0,
          lampHeightDeg: 45,
          falloff: 0,
          device: 'truth',
          blurPx: 0.5,
          turned: 0,
          seed: 1,
        },
        // Exposed so that the relief's highlights are not cut off.
        ...{ noise: 0.002, reliefDepth, gain: 0.8 },
      }
      const crop = {
        ...{ x: 12.3, y: 7.6, width: SIZE.width - 22, height: SIZE.height - 18, rotationDeg: 0.4 },
      }
      const sources = [request, { ...request, turned: 180 as const, seed: 2, crop }].map((one) =>
        open(capture(painting, one)),
      )
      const level = open(capture(painting, { ...request, reliefDepth: 0, noise: 0 }))
      const context = readContext(sources, { captures: [{ turned: 0 }, { turned: 180 }], ppi: 300 })
      const params = stitch.params.parse({})
      const reading = await stitch.read(sources, params, context)
      const joined = stitch.apply(sources, reading, params)[0]
      const toSheet = reading.captures[0].placed!.toSheet
      const seen = (source: Source) => part(warpTile(source, toSheet, INNER))
      // The truth and the single capture go the way the sheet goes: what interpolation costs is not the pair's.
      const first = {
        ...{ ...reading, combining: undefined, layers: [reading.layers[0]] },
        captures: reading.captures.map((one) => ({
          ...one,
          placed: { toSheet, rotationDeg: 0, gain: [1, 1, 1] as [number, number, number] },
        })),
      }
      const truth = seen(stitch.apply([level, level], first, params)[0])
      const single = seen(stitch.apply(sources, first, params)[0])
      const before = psnrSrgb(truth, single)
      const add = (to: Numbers, source: Source) => {
        const tile = levelled(seen(source), truth)
        to.add(`${sheet} ${reliefDepth}`, before, psnrSrgb(truth, tile) - before, [
          reliefLeftDb(truth, single, tile, blank),
          contrastKept(truth, tile, probes, 'pencil'),
          contrastKept(truth, tile, probes, 'stroke'),
          granulationKept(truth, tile, granulation, blank),
        ])
      }
      add(alone, joined)
      const filtering = paperTexture.params.parse({})
      try {
        const relief = await paperTexture.read([joined], filtering, readContext([joined], { ppi: 300 }))
        add(both, paperTexture.apply([joined], relief, filtering)[0])
      } catch (error) {
        if (!(error instanceof WorkError)) throw error
        row(`pair + paper-texture, ${sheet} ${reliefDepth}`, 'refused', error.message, false)
      }
    }
  }
  alone.print()
  both.print()
}

/** A compared part as a picture of its own. */
const part = ({ planes }: Tile): Tile => ({ rect: { ...INNER, x: 0, y: 0 }, planes })

/** The marks as they lie on the compared part. */
function probesInside({ probes }: Painting): Probe[] {
  const moved = ([x, y]: [number, number]): [number, number] => [x - INNER.x, y - INNER.y]
  return probes.map(({ kind, pairs }) => ({
    kind,
    pairs: pairs.map(({ on, beside }) => ({ on: moved(on), beside: moved(beside) })),
  }))
}

function cut<T extends Uint8Array | Float32Array>(plane: T): T {
  const out = plane.slice(0, INNER.width * INNER.height) as T
  for (let j = 0; j < INNER.height; j++) {
    const from = (INNER.y + j) * SIZE.width + INNER.x
    out.set(plane.subarray(from, from + INNER.width), j * INNER.width)
  }
  return out
}

/** At the truth's mean light: exposures are matched among captures, and which of them is right nobody says. */
function levelled(tile: Tile, truth: Tile): Tile {
  const sum = (plane: Float32Array) => plane.reduce((total, value) => total + value, 0)
  const planes = tile.planes.map((plane, c) => {
    const factor = sum(truth.planes[c]) / sum(plane)
    return plane.map((value) => value * factor)
  }) as Tile['planes']
  return { rect: truth.rect, planes }
}
