import { kernels, scratch } from '../kernels/kernels.js'
import { padded } from '../padded.js'
import type { Rect } from '../Rect.js'
import type { Source } from '../Source.js'
import { emptyTile, type Tile } from '../Tile.js'
import { axisWeights } from './axisWeights.js'

/** Input pixels asked for at once, in bands of whole rows: few enough to stay in the processor's cache. */
const BAND_PIXELS = 131_072

/**
 * A picture resampled to another size, in the linear light it comes in. Reduces and enlarges each axis with a filter
 * of its own (see filters.ts). Same pixels, same bits, whatever the region asked for.
 * @param source any picture
 * @param crop what of it becomes the whole result, in its pixels, may be fractional; where it leaves the picture, the
 *   picture is taken as mirrored at its border
 * @param width pixels of the result
 * @param height pixels of the result
 */
export function resized(source: Source, crop: Rect, width: number, height: number): Source {
  const scaleX = crop.width / width
  const scaleY = crop.height / height
  const isCopy = scaleX === 1 && scaleY === 1 && Number.isInteger(crop.x) && Number.isInteger(crop.y)
  return {
    width,
    height,
    region(rect) {
      if (rect.x < 0 || rect.y < 0 || rect.x + rect.width > width || rect.y + rect.height > height) {
        throw new RangeError(
          `region ${rect.x},${rect.y} ${rect.width}x${rect.height} leaves the ${width}x${height} picture`,
        )
      }
      if (isCopy) {
        const { planes } = padded(source, { ...rect, x: rect.x + crop.x, y: rect.y + crop.y })
        return { rect, planes }
      }
      return resample(source, crop, { scaleX, scaleY }, rect)
    },
  }
}

function resample(
  source: Source,
  crop: Rect,
  { scaleX, scaleY }: { scaleX: number; scaleY: number },
  rect: Rect,
): Tile {
  const across = axisWeights(crop.x, scaleX, rect.x, rect.width)
  const down = axisWeights(crop.y, scaleY, rect.y, rect.height)
  const left = across.starts[0]
  const span = across.starts[rect.width - 1] + across.taps - left
  const top = down.starts[0]
  const bottom = down.starts[rect.height - 1] + down.taps
  const bandRows = Math.max(1, Math.floor(BAND_PIXELS / span))
  // Rows are filtered first, so that what is kept between bands has the result's width.
  const stride = (rect.width + 3) & ~3
  const starts = new Int32Array(stride)
  for (let i = 0; i < rect.width; i++) starts[i] = (across.starts[i] - left) * 4
  const sums = [0, 1, 2].map(() => new Float32Array(stride * rect.height))
  for (let y = top; y < bottom; y += bandRows) {
    const rows = Math.min(bandRows, bottom - y)
    const band = padded(source, { x: left, y, width: span, height: rows })
    addBand(band.planes, { span, rows, fromRow: y }, starts, across, down, sums, stride)
  }
  const out = emptyTile(rect)
  out.planes.forEach((plane, c) => {
    for (let j = 0; j < rect.height; j++) {
      plane.set(sums[c].subarray(j * stride, j * stride + rect.width), j * rect.width)
    }
  })
  return out
}

/** Filters the rows of a band and adds them, weighted, to every output row that reaches into it. */
function addBand(
  planes: readonly Float32Array[],
  { span, rows, fromRow }: { span: number; rows: number; fromRow: number },
  starts: Int32Array,
  across: { taps: number; weights: Float32Array },
  down: { taps: number; starts: Int32Array; weights: Float32Array },
  sums: readonly Float32Array[],
  stride: number,
): void {
  const { taps } = down
  // The output rows that reach into the band follow each other: only they cross to the kernel's memory and back.
  let from = 0
  while (from < down.starts.length && down.starts[from] + taps <= fromRow) from++
  let to = from
  while (to < down.starts.length && down.starts[to] < fromRow + rows) to++
  if (from === to) return
  const { memory, filterRows, addWeighted } = kernels()
  const [src, startsAt, weightsAt, filtered, downAt, out] = scratch(
    planes[0].byteLength,
    starts.byteLength,
    stride * across.taps * 4,
    rows * stride * 4,
    (to - from) * taps * 4,
    (to - from) * stride * 4,
  )
  const put = (at: number, values: Float32Array) =>
    new Float32Array(memory.buffer, at, values.length).set(values)
  new Int32Array(memory.buffer, startsAt, stride).set(starts)
  put(weightsAt, across.weights)
  put(downAt, down.weights.subarray(from * taps, to * taps))
  planes.forEach((plane, c) => {
    const affected = sums[c].subarray(from * stride, to * stride)
    put(src, plane)
    put(out, affected)
    filterRows(src, span * 4, rows, startsAt, weightsAt, across.taps, filtered, stride)
    for (let j = from; j < to; j++) {
      const first = Math.max(0, fromRow - down.starts[j])
      const last = Math.min(taps, fromRow + rows - down.starts[j])
      const source = filtered + (down.starts[j] + first - fromRow) * stride * 4
      const weights = downAt + ((j - from) * taps + first) * 4
      addWeighted(source, stride * 4, weights, last - first, out + (j - from) * stride * 4, stride)
    }
    affected.set(new Float32Array(memory.buffer, out, affected.length))
  })
}
