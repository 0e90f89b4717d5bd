import type { Rect } from './Rect.js'
import type { Tile } from './Tile.js'

/**
 * A picture that can be asked for any rectangle inside it.
 * `region` throws a RangeError where the rectangle leaves the picture (see `padded.ts` for mirrored borders).
 * The same pixel has the same bits in whatever rectangle it is asked for. The returned tile belongs to the caller,
 * who may overwrite it.
 */
export interface Source {
  readonly width: number
  readonly height: number
  region(rect: Rect): Tile
}
