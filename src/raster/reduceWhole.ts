import { type HeldPlanes, heldRegion, takePlanes } from './heldRegion.js'
import { holding, kernels } from './kernels/kernels.js'
import type { Source } from './Source.js'
import { emptyTile, type Tile } from './Tile.js'

/** About this many picture pixels are asked for at once: they stay in the processor's cache. */
const STRIP_PX = 60_000

/**
 * A whole picture averaged over blocks of `factor` x `factor` pixels, strip by strip, on this thread; a partial last block is
 * averaged over what it has.
 * @param factor whole number >= 1
 */
export function reduceWhole(source: Source, factor: number): Tile {
  const { width, height } = source
  const view = emptyTile({ x: 0, y: 0, width: Math.ceil(width / factor), height: Math.ceil(height / factor) })
  const across = view.rect.width
  const most = Math.min(height, factor * Math.max(1, Math.round(STRIP_PX / (width * factor))))
  const bytes = width * most * 4 + 16
  const outBytes = across * Math.ceil(most / factor) * 4
  holding([bytes, bytes, bytes, width * 4 + 16, outBytes, outBytes, outBytes], (r, g, b, sums, ...outs) => {
    const [planes, means] = [[r, g, b] as const, outs as unknown as HeldPlanes]
    const { reduceBlocks } = kernels()
    for (let y = 0; y < height; y += most) {
      const rows = Math.min(most, height - y)
      heldRegion(source, { x: 0, y, width, height: rows }, planes)
      for (const [c, plane] of planes.entries()) reduceBlocks(plane, width, rows, factor, sums, means[c])
      const strip = takePlanes(means, across * Math.ceil(rows / factor))
      for (const [c, plane] of strip.entries()) view.planes[c].set(plane, (y / factor) * across)
    }
  })
  return view
}
