import type { Rect } from '../../src/raster/Rect.js'
import type { Field } from './Field.js'

/** A field over a rectangle, its nodes `step` pixels apart, from a function of the pixel's place. */
export function sampledField(rect: Rect, step: number, value: (x: number, y: number) => number): Field {
  const field = emptyField(rect, step)
  for (let j = 0, at = 0; j < field.rows; j++) {
    for (let i = 0; i < field.columns; i++) field.data[at++] = value(rect.x + i * step, rect.y + j * step)
  }
  return field
}

/** A field of zeros over a rectangle. */
export function emptyField({ x, y, width, height }: Rect, step: number): Field {
  const columns = Math.ceil((width - 1) / step) + 1
  const rows = Math.ceil((height - 1) / step) + 1
  return { x, y, step, columns, rows, data: new Float32Array(columns * rows) }
}
