import { findPaper } from '../../shared/paper/findPaper.js'
import type { PaperWindow } from '../../shared/paper/PaperWindow.js'

/** Fewer windows of paper than this may be anything. */
const FEWEST_WINDOWS = 4

/** The blank paper of a capture: the median of its windows, linear; undefined where none is found. */
export function paperTone(windows: readonly PaperWindow[]): [number, number, number] | undefined {
  const paper = findPaper(windows)
  if (paper.length < FEWEST_WINDOWS) return undefined
  return [0, 1, 2].map((c) => {
    const sorted = Float64Array.from(paper, ({ light }) => light[c]).sort()
    return 2 ** sorted[sorted.length >> 1]
  }) as [number, number, number]
}
