import type { Source } from '../../raster/Source.js'
import { emptyTile, type Tile } from '../../raster/Tile.js'
import { filterPlanes } from './filterPlanes.js'
import { filterTile } from './filterTile.js'
import type { ReliefFilter } from './ReliefFilter.js'

/** Larger regions are made in parts, so that memory stays bounded by the part. */
const MOST_PX = 1024

/**
 * The picture without its relief.
 *
 * Log luminance is y = mix + rest, where the mix of the two colour ratios that a window's luminance follows best is
 * picture for certain: relief multiplies all channels alike and leaves the ratios alone. The ratios are first freed of the
 * capture's noise, which would hide the smaller half of what they tell; then the windows' spectra of the rest are
 * attenuated in two stages by the relief's power. Before the second, what the first left is averaged over neighbours of
 * like colour and light (the joint bilateral filter; Tomasi and Manduchi 1998, Petschnigg et al. 2004): that common part is
 * picture, mostly of edges, and is set aside, so that windows over an edge pass less relief. The pixels take the new
 * luminance and the steadied ratios.
 */
export function withoutRelief(source: Source, filter: ReliefFilter): Source {
  const { width, height } = source
  const planes = filterPlanes(filter)
  return {
    width,
    height,
    region(rect) {
      if (rect.x < 0 || rect.y < 0 || rect.x + rect.width > width || rect.y + rect.height > height) {
        throw new RangeError('the region leaves the picture')
      }
      if (rect.width <= MOST_PX && rect.height <= MOST_PX) return filterTile(source, rect, filter, planes)
      const out = emptyTile(rect)
      for (let y = 0; y < rect.height; y += MOST_PX) {
        for (let x = 0; x < rect.width; x += MOST_PX) {
          const part = {
            x: rect.x + x,
            y: rect.y + y,
            width: Math.min(MOST_PX, rect.width - x),
            height: Math.min(MOST_PX, rect.height - y),
          }
          place(filterTile(source, part, filter, planes), out)
        }
      }
      return out
    },
  }
}

function place(part: Tile, whole: Tile): void {
  const { x, y, width, height } = part.rect
  part.planes.forEach((plane, c) => {
    for (let j = 0; j < height; j++) {
      const to = (y - whole.rect.y + j) * whole.rect.width + x - whole.rect.x
      whole.planes[c].set(plane.subarray(j * width, (j + 1) * width), to)
    }
  })
}
