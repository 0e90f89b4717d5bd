import { CHART24_COLUMNS, CHART24_ROWS } from '../../colour/charts/chart24.js'
import { toPicture8 } from '../../colour/toPicture8.js'
import type { Picture8 } from '../../findings.js'
import { emptyTile } from '../../raster/Tile.js'
import type { Triple } from './fit/Fit.js'
import { workingOfLab } from './fit/labOfWorking.js'

/** Side of a patch, of the square inside it, and of the gap, in pixels. */
const PATCH_PX = 56
const INNER_PX = 24
const GAP_PX = 8

/** The chart drawn from its numbers: measured colours as patches, the reference as a square in each. */
export function patchPicture(
  patches: readonly { afterLabD50: Readonly<Triple>; referenceLabD50: Readonly<Triple> }[],
): Picture8 {
  const pitch = PATCH_PX + GAP_PX
  const width = CHART24_COLUMNS * pitch + GAP_PX
  const height = CHART24_ROWS * pitch + GAP_PX
  const tile = emptyTile({ x: 0, y: 0, width, height })
  for (const plane of tile.planes) plane.fill(0.05)
  const fill = (left: number, top: number, side: number, labD50: Readonly<Triple>) => {
    const linear = workingOfLab(labD50)
    tile.planes.forEach((plane, c) => {
      for (let y = top; y < top + side; y++) plane.fill(linear[c], y * width + left, y * width + left + side)
    })
  }
  patches.forEach(({ afterLabD50, referenceLabD50 }, k) => {
    const left = GAP_PX + (k % CHART24_COLUMNS) * pitch
    const top = GAP_PX + Math.floor(k / CHART24_COLUMNS) * pitch
    const inset = (PATCH_PX - INNER_PX) / 2
    fill(left, top, PATCH_PX, afterLabD50)
    fill(left + inset, top + inset, INNER_PX, referenceLabD50)
  })
  return toPicture8(tile)
}
