import { kernels, scratch } from '../../raster/kernels/kernels.js'
import { padded } from '../../raster/padded.js'
import type { Rect } from '../../raster/Rect.js'
import type { Source } from '../../raster/Source.js'
import { emptyTile, type Tile } from '../../raster/Tile.js'
import type { PaperReading } from './Reading.js'
import { NEAR_REACH } from './scatter.js'

/** The kernel looks at 5 x 5 pixels. */
const HALO = 2
/** A pixel's own lift ends at this many times the scatter of single pixels. */
const OWN_REACH = 2

/** The picture with its paper at 1: scaled by the paper's tone, then lifted where a place is paper. */
export function withPaperWhite(source: Source, reading: PaperReading): Source {
  const { width, height } = source
  return {
    width,
    height,
    region(rect) {
      if (rect.x < 0 || rect.y < 0 || rect.x + rect.width > width || rect.y + rect.height > height) {
        throw new RangeError('the region leaves the picture')
      }
      return whitened(source, rect, reading)
    },
  }
}

function whitened(source: Source, rect: Rect, { gains, near, own }: PaperReading): Tile {
  const area: Rect = {
    x: rect.x - HALO,
    y: rect.y - HALO,
    width: rect.width + 2 * HALO,
    height: rect.height + 2 * HALO,
  }
  const tile = padded(source, area)
  // Rows long enough for whole registers past both ends.
  const stride = (area.width + 11) & ~3
  const bytes = stride * area.height * 4
  const outBytes = stride * 4
  const offsets = scratch(bytes, bytes, bytes, 3 * (stride + 8) * 4, outBytes, outBytes, outBytes)
  const [r, g, b, sums, outR, outG, outB] = offsets
  const { memory, scaleRow, liftRow } = kernels()
  const side = Math.max(source.width, source.height)
  tile.planes.forEach((plane, c) => {
    const view = new Float32Array(memory.buffer, offsets[c], stride * area.height)
    const [k0, ku, kv, kuu, kuv, kvv] = gains[c]
    for (let y = 0; y < area.height; y++) {
      view.set(plane.subarray(y * area.width, (y + 1) * area.width), y * stride)
      const v = (area.y + y) / side
      scaleRow(
        ...([offsets[c] + y * stride * 4, area.width, area.x, 1 / side] as const),
        ...([k0 + v * (kv + v * kvv), ku + v * kuv, kuu] as const),
      )
    }
  })
  const out = emptyTile(rect)
  const outs = [outR, outG, outB].map((offset) => new Float32Array(memory.buffer, offset, rect.width))
  const count = (rect.width + 3) & ~3
  for (let y = 0; y < rect.height; y++) {
    const at = y * stride * 4
    liftRow(
      ...([r + at, g + at, b + at, stride * 4, sums, outR, outG, outB, count] as const),
      ...([1 / near.dark, 1 / near.colour, NEAR_REACH] as const),
      ...([1 / own.dark, 1 / own.colour, OWN_REACH] as const),
    )
    for (let c = 0; c < 3; c++) out.planes[c].set(outs[c], y * rect.width)
  }
  return out
}
