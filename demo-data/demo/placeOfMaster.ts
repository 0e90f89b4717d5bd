import type { CutTile } from '../cutUp.js'
import { fitSimilarity, type PointPair } from '../geometry/fitSimilarity.js'
import type { Transform } from '../Transform.js'

/**
 * Where the joined sheet lies on the painting, and how far the tiles then lie from where they belong.
 * @param toSheet where the join put each tile, in the tiles' order
 */
export function placeOfMaster(
  tiles: readonly CutTile[],
  toSheet: readonly Transform[],
): { transform: Transform; rms: number } {
  return fitSimilarity(tiles.flatMap((tile, i) => partners(tile, toSheet[i])))
}

/** Places of a tile on the joined sheet, each with its place on the painting. */
function partners({ raster, toPainting }: CutTile, toSheet: Transform): PointPair[] {
  const at = ([a, b, c, d, e, f]: Transform, x: number, y: number) =>
    [a * x + b * y + c, d * x + e * y + f] as const
  return Array.from({ length: 36 }, (_, i) => {
    const x = ((i % 6) / 5) * (raster.width - 1)
    const y = (Math.floor(i / 6) / 5) * (raster.height - 1)
    return { from: at(toSheet, x, y), to: at(toPainting, x, y) }
  })
}
