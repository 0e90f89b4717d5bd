import type { Source } from '../../../raster/Source.js'
import { invertedMap, mapPoint } from '../../../raster/warp/PlaneMap.js'
import { joined } from '../joined.js'
import type { StitchReading } from '../Reading.js'
import type { FineDetail } from './FineDetail.js'
import type { Layer } from './Layer.js'
import { learnFine } from './learnFine.js'
import { PLAIN } from './ReliefModel.js'

/** Mid grey, where noise is stated, light. */
const GREY = 0.18
/** Windows are this large, about so many of them, and never closer than half of each other. */
const SIDE_PX = 64
const WINDOWS = 160

/**
 * What each pair of opposite lightings says of its finest detail, learned all over the sheet from both as they are
 * interpolated and evened out.
 */
export function fineOf(
  sources: readonly Source[],
  reading: StitchReading,
  statements: string[],
): { fine?: FineDetail[] } {
  // Where relief did not flip, a difference says nothing.
  if (reading.combining?.model === PLAIN) return {}
  const fine = measureFine(sources, reading)
  if (!fine.length) return {}
  statements.push(...fine.map(describeFine))
  return { fine }
}

function measureFine(sources: readonly Source[], reading: StitchReading): FineDetail[] {
  return reading.layers.flatMap((layer) => {
    const { turned } = layer
    const other = reading.layers.find((one) => one.turned === (turned ?? 0) + 180)
    if (turned === undefined || !other) return []
    const [a, b] = [layer, other].map((one) =>
      joined(sources, { ...reading, combining: undefined, layers: [one] }),
    )
    const windows = places(reading, [layer, other]).map(
      (rect) => [a.region(rect).planes, b.region(rect).planes] as const,
    )
    const fine = learnFine(windows, turned)
    return fine ? [fine] : []
  })
}

/** Windows on a grid of the sheet that both layers hold whole. */
function places(reading: StitchReading, layers: readonly Layer[]) {
  const { width, height } = reading
  const step = Math.max(SIDE_PX / 2, Math.ceil(Math.sqrt((width * height) / WINDOWS)))
  const found: { x: number; y: number; width: number; height: number }[] = []
  for (let y = 0; y + SIDE_PX <= height; y += step) {
    for (let x = 0; x + SIDE_PX <= width; x += step) {
      if (!layers.every((layer) => isHeld(reading, layer, x, y))) continue
      found.push({ x, y, width: SIDE_PX, height: SIDE_PX })
    }
  }
  return found
}

/** Whether one capture of a layer holds a window; a lens bends less than the feather is wide. */
function isHeld({ captures, combining }: StitchReading, layer: Layer, x: number, y: number): boolean {
  const margin = combining?.featherPx ?? 0
  return layer.captures.some((index) => {
    const { placed, width, height } = captures[index]
    if (!placed) return false
    const back = invertedMap(placed.toSheet)
    return [0, SIDE_PX - 1].every((v) =>
      [0, SIDE_PX - 1].every((u) => {
        const [px, py] = mapPoint(back, x + u, y + v)
        return Math.min(px, py, width - 1 - px, height - 1 - py) > margin
      }),
    )
  })
}

/** Differences that are surely one capture's, as a share of all: from here on it is called the sharper. */
const PLAINLY = 0.3

/** What is done with it, in words. */
function describeFine({ turned, readout, photon, differing, sharper }: FineDetail): string {
  const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0)
  const plainly = sum(differing.map((value, i) => value * sharper[i])) / Math.max(1e-9, sum(differing))
  const finest =
    Math.abs(plainly) < PLAINLY
      ? ''
      : `; finest detail is taken from the sharper, turned by ${plainly > 0 ? turned : turned + 180} degrees, where it stands out from relief and noise`
  return `captures turned by ${turned} and ${turned + 180} degrees: what their colours differ by is noise (${(100 * Math.sqrt(readout / GREY + photon)).toFixed(2)} % of white at mid grey, on the scale of lightness); only what stands above it is kept${finest}`
}
