import type { Rect } from './Rect.js'

/**
 * A region of a picture inside a worker: three planes of float32, `rect.width * rect.height` each, row by row.
 * Linear light in the working space (ROMM RGB primaries, D50) unless its maker says otherwise; 1 is the perfect
 * diffuser (or paper white after paper-white). Negative and over-range values are allowed.
 */
export interface Tile {
  rect: Rect
  planes: [Float32Array, Float32Array, Float32Array]
}

/** A tile of zeros. */
export function emptyTile(rect: Rect): Tile {
  const n = rect.width * rect.height
  return { rect, planes: [new Float32Array(n), new Float32Array(n), new Float32Array(n)] }
}
