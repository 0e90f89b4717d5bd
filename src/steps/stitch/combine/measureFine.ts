import type { Source } from '../../../raster/Source.js'
import { invertedMap, mapPoint } from '../../../raster/warp/PlaneMap.js'
import { joined } from '../joined.js'
import type { StitchReading } from '../Reading.js'
import type { FineDetail } from './FineDetail.js'
import { glintsByColour } from './glintsByColour.js'
import type { Combining, Layer } from './Layer.js'
import { learnFine } from './learnFine.js'
import { PLAIN, underLamp } from './ReliefModel.js'

/** Windows are this large, about so many of them, and never closer than half of each other. */
const SIDE_PX = 64
const WINDOWS = 160

/**
 * What each pair of opposite lightings says of its finest detail, and what colours say of highlights, learned all over the
 * sheet from both as they are interpolated and evened out.
 */
export function measureFine(sources: readonly Source[], reading: StitchReading): Combining | undefined {
  const { combining, layers } = reading
  // Where relief did not flip, a difference says nothing.
  if (!combining?.model || combining.model === PLAIN) return combining
  let { model } = combining
  const fine: FineDetail[] = []
  for (const layer of layers) {
    const { turned } = layer
    const other = layers.find((one) => one.turned === (turned ?? 0) + 180)
    if (turned === undefined || !other) continue
    const [a, b] = [layer, other].map((one) =>
      joined(sources, { ...reading, combining: undefined, layers: [one] }),
    )
    const windows = places(reading, [layer, other]).map(
      (rect) => [a.region(rect).planes, b.region(rect).planes] as const,
    )
    const learned = learnFine(windows, turned)
    if (!learned) continue
    if (!fine.length) {
      const { glints: _, ...matt } = model
      const glints = glintsByColour(windows, underLamp(model, turned), learned)
      model = glints ? { ...matt, glints } : matt
    }
    fine.push(learned)
  }
  return fine.length ? { ...combining, model, fine } : { ...combining, model }
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
