import type { Rect } from '../Rect.js'
import { axisWeights } from './axisWeights.js'

/**
 * What `resized` asks its source for to make a region: inside the picture, mirrored borders included.
 * @param picture the source's size
 * @param crop, width, height as given to `resized`
 * @param rect the region of the result
 */
export function neededOf(
  picture: { width: number; height: number },
  crop: Rect,
  width: number,
  height: number,
  rect: Rect,
): Rect {
  const [x, right] = span(crop.x, crop.width / width, rect.x, rect.width, picture.width)
  const [y, foot] = span(crop.y, crop.height / height, rect.y, rect.height, picture.height)
  return { x, y, width: right - x, height: foot - y }
}

/** First and one past the last pixel along an axis; what lies beyond a border reaches as far inside it. */
function span(
  origin: number,
  scale: number,
  from: number,
  count: number,
  length: number,
): [from: number, to: number] {
  const { starts, taps } = axisWeights(origin, scale, from, count)
  const first = starts[0]
  const last = starts[count - 1] + taps
  if (first < -length || last > 2 * length) return [0, length]
  const low = Math.min(first, last > length ? 2 * length - last : first)
  const high = Math.max(last, first < 0 ? -first : last)
  return [Math.max(0, low), Math.min(length, high)]
}
