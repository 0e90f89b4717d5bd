import { capture } from '../../../demo-data/capture.js'
import { contrastKept, granulationKept, psnrSrgb, reliefLeftDb } from '../../../demo-data/measure.js'
import type { CaptureRequest, PaintedCapture, Painting, Probe } from '../../../demo-data/Painting.js'
import { captureSource } from '../../../src/colour/captureSource.js'
import { spaceTransform } from '../../../src/colour/spaceTransform.js'
import type { Source } from '../../../src/raster/Source.js'
import type { Tile } from '../../../src/raster/Tile.js'
import { warpTile } from '../../../src/raster/warp/warpTile.js'
import { leakOf } from '../../../src/steps/paper-texture/leakOf.js'
import { logLuminance } from '../../../src/steps/paper-texture/logLuminance.js'
import type { StitchReading } from '../../../src/steps/stitch/Reading.js'
import { stitch } from '../../../src/steps/stitch/step.js'
import { readContext } from '../../helpers/readContext.js'

/** What is compared lies so far inside the sheet: away from borders that only one capture holds. */
const INSET_PX = 60

/** What a picture of the sheet is worth, measured against the truth. */
export interface PairNumbers {
  gainDb: number
  blankDb: number
  pencil: number
  stroke: number
  granulation: number
  /** Share of the area where structure of the truth is missing, see `leakOf`. */
  leakPercent: number
}

export interface PaintedPair {
  reading: StitchReading
  /** The combined sheet. */
  joined: Source
  /** PSNR of the first capture alone. */
  beforeDb: number
  numbersOf(sheet: Source): PairNumbers
}

const open = ({ raster }: PaintedCapture): Source => captureSource(raster, spaceTransform('sRGB'))

/**
 * A painting captured twice, once turned by 180 degrees and lying a little askew, and stitched. The truth is the same
 * capture of a sheet without relief and a sensor without noise; it and the single capture go the way the sheet goes: what
 * interpolation costs is not the pair's.
 */
export async function paintedPair(painting: Painting, reliefDepth: number): Promise<PaintedPair> {
  const { width, height } = painting
  const inner = { x: INSET_PX, y: INSET_PX, width: width - 2 * INSET_PX, height: height - 2 * INSET_PX }
  const request: CaptureRequest = {
    ...{ lampFromDeg: 0, lampHeightDeg: 45, falloff: 0, device: 'truth', blurPx: 0.5, turned: 0, seed: 1 },
    // Exposed so that the relief's highlights are not cut off.
    ...{ noise: 0.002, reliefDepth, gain: 0.8 },
  }
  const crop = { x: 12.3, y: 7.6, width: width - 22, height: height - 18, rotationDeg: 0.4 }
  const sources = [request, { ...request, turned: 180 as const, seed: 2, crop }].map((one) =>
    open(capture(painting, one)),
  )
  const level = open(capture(painting, { ...request, reliefDepth: 0, noise: 0 }))
  const context = readContext(sources, { captures: [{ turned: 0 }, { turned: 180 }], ppi: painting.ppi })
  const params = stitch.params.parse({})
  const reading = await stitch.read(sources, params, context)
  const { toSheet } = reading.captures[0].placed!
  const seen = (source: Source): Tile => ({
    rect: { ...inner, x: 0, y: 0 },
    planes: warpTile(source, toSheet, inner).planes,
  })
  const first = {
    ...{ ...reading, combining: undefined, layers: [reading.layers[0]] },
    captures: reading.captures.map((one) => ({
      ...one,
      placed: { toSheet, rotationDeg: 0, gain: [1, 1, 1] as [number, number, number] },
    })),
  }
  const truth = seen(stitch.apply([level, level], first, params)[0])
  const single = seen(stitch.apply(sources, first, params)[0])
  const beforeDb = psnrSrgb(truth, single)
  const cut = <T extends Uint8Array | Float32Array>(plane: T): T => {
    const out = plane.slice(0, inner.width * inner.height) as T
    for (let j = 0; j < inner.height; j++) {
      const from = (inner.y + j) * width + inner.x
      out.set(plane.subarray(from, from + inner.width), j * inner.width)
    }
    return out
  }
  const [blank, granulation] = [cut(painting.blank), cut(painting.granulation)]
  const probes = probesInside(painting)
  const reliefRms = reading.combining?.reliefRms ?? 0.01
  const missing = (tile: Tile) => {
    const [want, have] = [truth, tile].map(logLuminance)
    const { squares, leaking } = leakOf(want, have, inner.width, inner.height, reliefRms / Math.LN2)
    return (100 * leaking) / squares
  }
  return {
    reading,
    joined: stitch.apply(sources, reading, params)[0],
    beforeDb,
    numbersOf(sheet) {
      const tile = levelled(seen(sheet), truth)
      return {
        gainDb: psnrSrgb(truth, tile) - beforeDb,
        leakPercent: missing(tile),
        blankDb: reliefLeftDb(truth, single, tile, blank),
        pencil: contrastKept(truth, tile, probes, 'pencil'),
        stroke: contrastKept(truth, tile, probes, 'stroke'),
        granulation: granulationKept(truth, tile, granulation, blank),
      }
    },
  }
}

/** The marks as they lie on the compared part. */
function probesInside({ probes }: Painting): Probe[] {
  const moved = ([x, y]: [number, number]): [number, number] => [x - INSET_PX, y - INSET_PX]
  return probes.map(({ kind, pairs }) => ({
    kind,
    pairs: pairs.map(({ on, beside }) => ({ on: moved(on), beside: moved(beside) })),
  }))
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
