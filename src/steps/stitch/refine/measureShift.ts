import { solve } from '../solve.js'
import { planeWeights } from '../views/planeWeights.js'
import { type Structure, structure } from '../views/structure.js'

/** Where a window of one capture lies on another, against where it was looked for. */
export interface Shift {
  dx: number
  dy: number
  /** Inverse covariance of (dx, dy): xx, xy, yy, in 1/px^2. */
  information: [xx: number, xy: number, yy: number]
  /** Of what remains, -1..1, with each plane weighted by how little of it differs. */
  correlation: number
}

/** Reads the second capture on the first's window grid, moved by (dx, dy) pixels: linear planes. */
export type SampleSecond = (dx: number, dy: number) => readonly Float32Array[]

const STEPS = 6
const SETTLED_PX = 0.003
/** Farther from the guess than this is not the same place. */
const FARTHEST_PX = 8
/** Margins a coarse blur's standard deviation: the filter has faded where the window begins. */
const MARGIN_SIGMAS = 4
const FINE_SIGMA_PX = 1
/** Under opposing lamps relief flips: luminance is compared at scales coarser than a sheet's tooth. */
const FINE_SIGMA_TURNED_PX = 2.5
/** Pixels of a window that carry one independent sample of the noise left by the band pass. */
const PIXELS_A_SAMPLE = 10

/**
 * Sub-pixel shift of a window by Gauss-Newton steps on its painted structure, slopes averaged over both captures.
 * @param first linear planes of the first capture's window with its margin, `size` pixels a side
 * @param margin pixels on each side that only serve the filters
 * @param sameLight whether both captures lay the same way under the lamp
 * @returns undefined where the window holds nothing that fixes a shift, or runs away
 */
export function measureShift(
  first: readonly Float32Array[],
  sample: SampleSecond,
  size: number,
  margin: number,
  sameLight: boolean,
): Shift | undefined {
  const fineLight = sameLight ? FINE_SIGMA_PX : Math.min(FINE_SIGMA_TURNED_PX, margin / MARGIN_SIGMAS / 2)
  const features = (planes: readonly Float32Array[]) =>
    structure(planes, size, size, FINE_SIGMA_PX, margin / MARGIN_SIGMAS, fineLight)
  const a = features(first)
  let [dx, dy] = [0, 0]
  let weights = [1, 1, 1]
  let sums: ReturnType<typeof compare> | undefined
  for (let step = 0; step < STEPS; step++) {
    sums = compare(a, features(sample(dx, dy)), margin, weights)
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
    if (Math.hypot(dx, dy) > FARTHEST_PX) return undefined
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

function compare(a: Structure, b: Structure, margin: number, weights: readonly number[]) {
  const { width: size } = a
  let [xx, xy, yy, rx, ry] = [0, 0, 0, 0, 0]
  let [cross, powerA, powerB] = [0, 0, 0]
  const residuals = [0, 0, 0]
  for (let k = 0; k < 3; k++) {
    const [p, q, w] = [a.planes[k], b.planes[k], weights[k]]
    for (let y = margin; y < size - margin; y++) {
      for (let x = margin; x < size - margin; x++) {
        const i = y * size + x
        const difference = q[i] - p[i]
        const gx = (p[i + 1] - p[i - 1] + q[i + 1] - q[i - 1]) / 4
        const gy = (p[i + size] - p[i - size] + q[i + size] - q[i - size]) / 4
        xx += w * gx * gx
        xy += w * gx * gy
        yy += w * gy * gy
        rx += w * gx * difference
        ry += w * gy * difference
        residuals[k] += difference * difference
        cross += w * p[i] * q[i]
        powerA += w * p[i] * p[i]
        powerB += w * q[i] * q[i]
      }
    }
  }
  const count = (size - 2 * margin) ** 2
  return {
    ...{ xx, xy, yy, rx, ry },
    residuals: residuals.map((sum) => sum / count),
    correlation: cross / Math.sqrt(powerA * powerB + 1e-30),
  }
}
