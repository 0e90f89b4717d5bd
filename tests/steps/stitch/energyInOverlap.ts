import { blurred } from '../../../demo-data/painter/blurred.js'
import type { Tile } from '../../../src/raster/Tile.js'
import { invertedMap, mapPoint } from '../../../src/raster/warp/PlaneMap.js'
import type { StitchReading } from '../../../src/steps/stitch/Reading.js'

/** Energy of a sheet's finest detail where all of its captures lie on each other. */
export function energyInOverlap(
  { rect: { width, height }, planes }: Tile,
  { captures }: StitchReading,
): number {
  const log = planes[1].map((value) => Math.log(Math.max(value, 0.01)))
  const coarse = blurred(log.slice(), width, height, 1)
  const back = captures.map(({ placed }) => invertedMap(placed!.toSheet))
  let sum = 0
  for (let y = 0, i = 0; y < height; y++) {
    for (let x = 0; x < width; x++, i++) {
      const both = back.every((map, k) => {
        const [u, v] = mapPoint(map, x, y)
        return Math.min(u, v, captures[k].width - 1 - u, captures[k].height - 1 - v) > 2
      })
      if (both) sum += (log[i] - coarse[i]) ** 2
    }
  }
  return sum
}
