import { bilinear, type Grid } from './lampField.js'
import { luminance } from './luminance.js'
import type { Blocks } from './smoothSurface.js'

/** Blocks further than this from the smooth field are marks. */
export const MARK_PERCENT = 2

/** How a board itself looks once corrected: blocks that stand out, and the range of the rest (2nd to 98th percentile). */
export function judgeBoard(
  blocks: readonly Blocks[],
  fields: readonly Float64Array[],
  grid: Grid,
): { marksPercent: number; remainingPercent: number } {
  const { width, height, extentX, extentY } = blocks[0]
  const ratios = new Float64Array(width * height)
  for (let y = 0; y < height; y++) {
    const v = Math.min(1, (y + 0.5) / extentY) * (grid.rows - 1)
    for (let x = 0; x < width; x++) {
      const u = Math.min(1, (x + 0.5) / extentX) * (grid.columns - 1)
      const [r, g, b] = blocks.map(({ values }) => values[y * width + x])
      const [fr, fg, fb] = fields.map((field) => bilinear(field, grid, u, v))
      ratios[y * width + x] = luminance(r, g, b) / luminance(fr, fg, fb)
    }
  }
  const marks = ratios.filter((ratio) => Math.abs(ratio - 1) > MARK_PERCENT / 100).length
  const sorted = ratios.sort()
  const range = sorted[Math.floor(0.98 * (sorted.length - 1))] - sorted[Math.ceil(0.02 * (sorted.length - 1))]
  return { marksPercent: (100 * marks) / ratios.length, remainingPercent: 100 * range }
}
