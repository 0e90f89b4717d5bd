import { blurSize, bringRows } from '../../../raster/blurred.js'
import { holding, kernels } from '../../../raster/kernels/kernels.js'
import { PHASES, TAPS, tapTable } from '../../../raster/warp/tapTable.js'
import { solve } from '../solve.js'
import { planeWeights } from '../views/planeWeights.js'
import { structureBytes, structureHeld } from '../views/structure.js'

/** Where a window of one capture lies on another, against where it was looked for. */
export interface Shift {
  dx: number
  dy: number
  /** Inverse covariance of (dx, dy): xx, xy, yy, in 1/px^2. */
  information: [xx: number, xy: number, yy: number]
  /** Of what remains, -1..1, with each plane weighted by how little of it differs. */
  correlation: number
}

const STEPS = 6
const SETTLED_PX = 0.003
/** Farther from the guess than this share of the margin is not looked: the filters' edges would come in. */
const FARTHEST_SHARE = 1 / 3
/** Margins a coarse blur's standard deviation: the filter has faded where the window begins. */
const MARGIN_SIGMAS = 4
const FINE_SIGMA_PX = 1
/** Under opposing lamps relief flips: luminance is compared at scales coarser than a sheet's tooth. */
const FINE_SIGMA_TURNED_PX = 2.5
/** Pixels of a window that carry one independent sample of the noise left by the band pass. */
const PIXELS_A_SAMPLE = 10

/**
 * Sub-pixel shift of a window by Gauss-Newton steps on its painted structure, slopes averaged over both captures.
 * The structure is band-limited, so it is interpolated for each step instead of being made anew.
 * @param first linear planes of the first capture's window with its margin, `size` pixels a side
 * @param second the second capture on the same grid, where the guess has it
 * @param margin pixels on each side that only serve the filters
 * @param sameLight whether both captures lay the same way under the lamp
 * @returns undefined where the window holds nothing that fixes a shift, or runs away
 */
export function measureShift(
  first: readonly Float32Array[],
  second: readonly Float32Array[],
  size: number,
  margin: number,
  sameLight: boolean,
): Shift | undefined {
  const fineLight = sameLight ? FINE_SIGMA_PX : Math.min(FINE_SIGMA_TURNED_PX, margin / MARGIN_SIGMAS / 2)
  const extent = blurSize(size, size)
  const { planeBytes, workBytes } = structureBytes(extent)
  const planes = Array.from({ length: 9 }, () => planeBytes)
  return holding([...planes, workBytes, 2 * TAPS * 4, 72], (...blocks) => {
    const [a, b, moved] = [0, 3, 6].map((k) => blocks.slice(k, k + 3) as [number, number, number])
    const [work, taps, sums] = blocks.slice(9)
    for (const [of, places] of [
      [first, a],
      [second, b],
    ] as const) {
      for (const [c, plane] of of.entries()) bringRows(plane, places[c], extent)
      structureHeld(places, work, extent, [fineLight, FINE_SIGMA_PX, FINE_SIGMA_PX], margin / MARGIN_SIGMAS)
    }
    const window: Window = { stride: extent.stride, size, margin }
    return settle(sameLight, margin, (dx, dy, weights) => {
      if (dx === 0 && dy === 0) return compare(window, a, b, sums, weights)
      for (const [c, from] of b.entries()) shift(window, from, moved[c], work, taps, dx, dy)
      return compare(window, a, moved, sums, weights)
    })
  })
}

interface Window {
  stride: number
  size: number
  margin: number
}

/** @param compareAt compares the first with the second moved by (dx, dy) */
function settle(
  sameLight: boolean,
  margin: number,
  compareAt: (dx: number, dy: number, weights: readonly number[]) => Sums,
): Shift | undefined {
  let [dx, dy] = [0, 0]
  let weights = [1, 1, 1]
  let sums: Sums | undefined
  for (let step = 0; step < STEPS; step++) {
    sums = compareAt(dx, dy, weights)
    weights = planeWeights(sums.residuals, sameLight)
    const move = solve(
      [
        [sums.xx, sums.xy],
        [sums.xy, sums.yy],
      ],
      [sums.rx, sums.ry],
    )
    if (!move) return undefined
    // A window with one edge only says nothing along it: steps are held to what can be a step.
    const length = Math.hypot(move[0], move[1])
    const held = length > 2 ? 2 / length : 1
    dx -= move[0] * held
    dy -= move[1] * held
    if (Math.hypot(dx, dy) > FARTHEST_SHARE * margin) return undefined
    if (length < SETTLED_PX && step > 0) break
  }
  if (!sums) return undefined
  return {
    dx,
    dy,
    information: [sums.xx / PIXELS_A_SAMPLE, sums.xy / PIXELS_A_SAMPLE, sums.yy / PIXELS_A_SAMPLE],
    correlation: sums.correlation,
  }
}

let table: Float32Array | undefined

/** A plane moved by parts of a pixel, inside its margin and one pixel about it. */
function shift(
  { stride, size, margin }: Window,
  from: number,
  to: number,
  work: number,
  taps: number,
  dx: number,
  dy: number,
): void {
  table ??= tapTable()
  const { memory, shiftPlane } = kernels()
  const floats = new Float32Array(memory.buffer, taps, 2 * TAPS)
  const [x, y] = [Math.floor(dx), Math.floor(dy)]
  for (const [k, fraction] of [dx - x, dy - y].entries()) {
    const phase = Math.trunc(fraction * PHASES + 0.5)
    floats.set(table.subarray(phase * TAPS, (phase + 1) * TAPS), k * TAPS)
  }
  shiftPlane(from, to, work, stride, margin - 1, size - margin + 1, x, y, taps, taps + TAPS * 4)
}

/** What two windows' comparison sums to, planes weighted. */
interface Sums {
  xx: number
  xy: number
  yy: number
  rx: number
  ry: number
  residuals: number[]
  correlation: number
}

function compare(
  { stride, size, margin }: Window,
  a: readonly number[],
  b: readonly number[],
  at: number,
  weights: readonly number[],
): Sums {
  const { memory, compareWindows } = kernels()
  const total = new Float64Array(9)
  const residuals: number[] = []
  const count = (size - 2 * margin) ** 2
  for (const [k, weight] of weights.entries()) {
    compareWindows(a[k], b[k], stride, margin, size - margin, at)
    const sums = new Float64Array(memory.buffer, at, 9)
    residuals.push(sums[5] / count)
    for (let i = 0; i < 9; i++) total[i] += weight * sums[i]
  }
  const [xx, xy, yy, rx, ry, , cross, powerA, powerB] = total
  return { xx, xy, yy, rx, ry, residuals, correlation: cross / Math.sqrt(powerA * powerB + 1e-30) }
}
