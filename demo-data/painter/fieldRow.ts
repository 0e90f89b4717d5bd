import type { Field } from './Field.js'

/**
 * One row of pixels of a field, interpolated linearly between its nodes.
 * @param y row of pixels, inside the field
 * @param out filled from the field's left side on
 */
export function fieldRow({ y: top, step, columns, rows, data }: Field, y: number, out: Float32Array): void {
  const j = Math.min(Math.floor((y - top) / step), Math.max(rows - 2, 0))
  const t = rows > 1 ? (y - top - j * step) / step : 0
  const upper = j * columns
  const lower = rows > 1 ? upper + columns : upper
  const inverse = 1 / step
  let from = data[upper] + t * (data[lower] - data[upper])
  for (let i = 0, x = 0; x < out.length; i++) {
    const next = Math.min(i + 1, columns - 1)
    const to = data[upper + next] + t * (data[lower + next] - data[upper + next])
    const slope = (to - from) * inverse
    for (let k = 0; k < step && x < out.length; k++) out[x++] = from + slope * k
    from = to
  }
}
