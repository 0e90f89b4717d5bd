import { WORKING_TO_XYZ_D50 } from '../../colour/working.js'
import type { Tile } from '../../raster/Tile.js'
import type { PaintedMap } from '../contract.js'

/** Cells along the longer side: 2 % of it each. */
const CELLS = 50
/** The paper's tone is the median of the lightest part of the view. */
const LIGHTEST_SHARE = 0.05
/** Darker than the paper by this share of its light, or of another colour by this share, is paint. */
const DARKER = 0.12
const TINTED = 0.06

const [YR, YG, YB] = WORKING_TO_XYZ_D50.slice(3, 6)

/**
 * Where a sheet is painted: what differs in light or in colour from its lightest part. Light falling off over the sheet
 * must be corrected before, and a sheet painted all over counts its lightest wash as paper.
 * @param view the whole picture, small
 */
export function paintedMap({ rect: { width, height }, planes: [r, g, b] }: Tile): PaintedMap {
  const light = (i: number) => YR * r[i] + YG * g[i] + YB * b[i]
  const order = Array.from({ length: width * height }, (_, i) => i).sort((i, j) => light(j) - light(i))
  const paper = order[Math.floor((order.length * LIGHTEST_SHARE) / 2)]
  const [paperLight, paperR, paperB] = [light(paper), r[paper] / g[paper], b[paper] / g[paper]]
  const isPaint = (i: number) =>
    light(i) < paperLight * (1 - DARKER) ||
    Math.abs(r[i] / g[i] / paperR - 1) > TINTED ||
    Math.abs(b[i] / g[i] / paperB - 1) > TINTED
  const perCell = Math.max(1, Math.ceil(Math.max(width, height) / CELLS))
  const columns = Math.ceil(width / perCell)
  const rows = Math.ceil(height / perCell)
  const painted = new Float64Array(columns * rows)
  const counts = new Float64Array(columns * rows)
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const cell = Math.floor(y / perCell) * columns + Math.floor(x / perCell)
      counts[cell]++
      if (isPaint(y * width + x)) painted[cell]++
    }
  }
  return { columns, rows, cells: Array.from(painted, (sum, i) => sum / counts[i]) }
}
