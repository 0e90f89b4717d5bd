import { median } from '../light/median.js'

/** What one window says of which of two captures shows finest detail better. */
export interface SharpnessWindow {
  /** Its middle, sheet pixels. */
  x: number
  y: number
  /** Logarithm of the second's fine contrast over the first's. */
  log: number
  /** By how much noise could have changed it at most, all of it in one of the two. */
  unsure: number
}

/** Two captures' sharpness where both show the same. */
export interface SharpnessPair {
  first: number
  second: number
  windows: SharpnessWindow[]
}

/** Which of two captures is sharper at a place of the sheet: above 0 the second, 0 where nothing certain can be said. */
export type Sharper = (x: number, y: number) => number

/** Differences up to this (of a logarithm) are not worth a detour of the seam. */
const LEAST_LOG = 0.05
/** With fewer windows nothing is said. */
const LEAST_WINDOWS = 3
/** What a window says is never surer than this. */
const WINDOW_SIGMA = 0.1
/** Standard errors a difference must exceed. */
const SURE = 2
/** Windows farther from what those about them say than so many standard deviations are drawn in to it. */
const CUT = 3
/** Say of windows far away, so that there is an answer anywhere. */
const FAR_SAY = 0.02

/**
 * A smooth answer between windows: their mean, near ones first, less what chance and noise may account for.
 * @param reachPx over which distance (standard deviation) windows are averaged
 */
export function sharper({ windows }: SharpnessPair, reachPx: number): Sharper {
  if (windows.length < LEAST_WINDOWS) return () => 0
  const noise = median(windows.map(({ unsure }) => unsure))
  const says = windows.map(({ unsure }) => 1 / (WINDOW_SIGMA ** 2 + unsure ** 2))
  const weight = (k: number, x: number, y: number) => {
    const squared = (x - windows[k].x) ** 2 + (y - windows[k].y) ** 2
    return says[k] * (FAR_SAY + Math.exp(-squared / (2 * reachPx * reachPx)))
  }
  // What the others say at each window's place, and how far off windows are from it.
  const others = windows.map(({ x, y }, k) => {
    let [sum, total] = [0, 0]
    for (const [i, { log }] of windows.entries()) {
      if (i === k) continue
      sum += weight(i, x, y) * log
      total += weight(i, x, y)
    }
    return sum / total
  })
  const off = windows.map(({ log }, k) => Math.abs(log - others[k]))
  const sigma = Math.max(LEAST_LOG / SURE, 1.4826 * median(off))
  const logs = windows.map(({ log }, k) =>
    Math.min(Math.max(log, others[k] - CUT * sigma), others[k] + CUT * sigma),
  )
  return (x, y) => {
    let [sum, total, squares] = [0, 0, 0]
    for (const [k, log] of logs.entries()) {
      const own = weight(k, x, y)
      sum += own * log
      total += own
      squares += own * own
    }
    const mean = sum / total
    const error = (sigma * Math.sqrt(squares)) / total
    return Math.sign(mean) * Math.max(0, Math.abs(mean) - Math.max(LEAST_LOG, SURE * error, noise))
  }
}
