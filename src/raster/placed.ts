import type { Source } from './Source.js'
import { emptyTile, type Tile } from './Tile.js'

/**
 * A picture of which only a part is at hand, asked for in the whole picture's coordinates.
 * @param part the pixels at hand
 * @param at where the part's corner lies in the whole
 * @param whole the picture's size; a region outside the part throws what the part throws
 */
export function placed(
  part: Source,
  at: { x: number; y: number },
  whole: { width: number; height: number },
): Source {
  return {
    width: whole.width,
    height: whole.height,
    region(rect) {
      const { planes } = part.region({ ...rect, x: rect.x - at.x, y: rect.y - at.y })
      return { rect, planes }
    },
  }
}

/** A tile as a picture of its own, its corner at 0, 0. Regions are copies. */
export function tileSource({ rect, planes }: Tile): Source {
  const { width, height } = rect
  return {
    width,
    height,
    region(asked) {
      if (asked.x < 0 || asked.y < 0 || asked.x + asked.width > width || asked.y + asked.height > height) {
        throw new RangeError('the region leaves the part of the picture that is at hand')
      }
      const out = emptyTile(asked)
      planes.forEach((plane, c) => {
        for (let j = 0; j < asked.height; j++) {
          const from = (asked.y + j) * width + asked.x
          out.planes[c].set(plane.subarray(from, from + asked.width), j * asked.width)
        }
      })
      return out
    },
  }
}
