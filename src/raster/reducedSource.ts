import { reduce } from './reduce.js'
import type { Source } from './Source.js'
import { emptyTile, type Tile } from './Tile.js'

/** About this many picture pixels are asked for at once. */
const STRIP_PX = 2_000_000

/**
 * A whole picture averaged over blocks of `factor` x `factor` pixels, strip by strip, for captures that are looked at
 * once on this thread (a chart, a board).
 * @param factor whole number >= 1
 * @param onStrip called between strips with the share done; lets the caller stop the work by throwing
 */
export async function reducedSource(
  source: Source,
  factor: number,
  onStrip: (share: number) => void = () => {},
): Promise<Tile> {
  const { width, height } = source
  const view = emptyTile({ x: 0, y: 0, width: Math.ceil(width / factor), height: Math.ceil(height / factor) })
  const rows = factor * Math.max(1, Math.round(STRIP_PX / (width * factor)))
  for (let y = 0; y < height; y += rows) {
    const strip = reduce(source.region({ x: 0, y, width, height: Math.min(rows, height - y) }), factor)
    strip.planes.forEach((plane, c) => {
      view.planes[c].set(plane, strip.rect.y * view.rect.width)
    })
    onStrip(Math.min(1, (y + rows) / height))
    // Lets a pending interruption through.
    await new Promise((resolve) => setTimeout(resolve, 0))
  }
  return view
}
