import type { Source } from '../../raster/Source.js'
import type { Rule } from './rules.js'
import { shiftPlanes } from './shiftPlanes.js'

/** A picture with hues, chroma and lightness shifted by the rules. */
export function shiftedSource(source: Source, rules: readonly Rule[]): Source {
  return {
    width: source.width,
    height: source.height,
    region(rect) {
      const tile = source.region(rect)
      shiftPlanes(tile.planes, rules)
      return tile
    },
  }
}
