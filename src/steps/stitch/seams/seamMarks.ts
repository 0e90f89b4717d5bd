import type { Rect } from '../../../raster/Rect.js'
import type { SeamMap } from '../Reading.js'
import { fromRuns } from './runs.js'

/** Pixels along a rectangle's sides, from its left or its top, where seams run across them. */
export interface SeamMarks {
  top: number[]
  bottom: number[]
  left: number[]
  right: number[]
}

/** Where seams enter and leave a rectangle of the sheet: the first pixel beyond each. */
export function seamMarks(seams: SeamMap, { x, y, width, height }: Rect): SeamMarks {
  const labels = fromRuns(seams.runs, seams.width * seams.height)
  const labelAt = (px: number, py: number) =>
    labels[Math.floor(py / seams.cellPx) * seams.width + Math.floor(px / seams.cellPx)]
  const crossings = (length: number, label: (i: number) => number) =>
    Array.from({ length: length - 1 }, (_, i) => i + 1).filter((i) => {
      const [here, before] = [label(i), label(i - 1)]
      return here !== before && here >= 0 && before >= 0
    })
  return {
    top: crossings(width, (i) => labelAt(x + i, y)),
    bottom: crossings(width, (i) => labelAt(x + i, y + height - 1)),
    left: crossings(height, (j) => labelAt(x, y + j)),
    right: crossings(height, (j) => labelAt(x + width - 1, y + j)),
  }
}
