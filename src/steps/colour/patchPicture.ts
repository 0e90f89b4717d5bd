import { toPicture8 } from '../../colour/toPicture8.js'
import type { Picture8 } from '../../findings.js'
import { emptyTile } from '../../raster/Tile.js'
import type { Triple } from './fit/Fit.js'
import { workingOfLab } from './fit/labOfWorking.js'

/** Side of a patch, of the square inside it, and of the gap, in pixels: of a chart of few patches, and of one of many. */
const LARGE = { patch: 56, inner: 24, gap: 8 }
const SMALL = { patch: 26, inner: 12, gap: 3 }
const MANY_COLUMNS = 10

/**
 * The chart drawn from its numbers, row by row: measured colours as patches, the reference as a square in each.
 * @param columns of the chart's grid
 */
export function patchPicture(
  patches: readonly { afterLabD50: Readonly<Triple>; referenceLabD50: Readonly<Triple> }[],
  columns: number,
): Picture8 {
  const { patch, inner, gap } = columns > MANY_COLUMNS ? SMALL : LARGE
  const pitch = patch + gap
  const width = columns * pitch + gap
  const height = Math.ceil(patches.length / columns) * pitch + gap
  const tile = emptyTile({ x: 0, y: 0, width, height })
  for (const plane of tile.planes) plane.fill(0.05)
  const fill = (left: number, top: number, side: number, labD50: Readonly<Triple>) => {
    const linear = workingOfLab(labD50)
    tile.planes.forEach((plane, c) => {
      for (let y = top; y < top + side; y++) plane.fill(linear[c], y * width + left, y * width + left + side)
    })
  }
  patches.forEach(({ afterLabD50, referenceLabD50 }, k) => {
    const left = gap + (k % columns) * pitch
    const top = gap + Math.floor(k / columns) * pitch
    const inset = (patch - inner) / 2
    fill(left, top, patch, afterLabD50)
    fill(left + inset, top + inset, inner, referenceLabD50)
  })
  return toPicture8(tile)
}
