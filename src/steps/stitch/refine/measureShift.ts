import type { Rect } from '../../../raster/Rect.js'
import type { Source } from '../../../raster/Source.js'
import { emptyTile, type Tile } from '../../../raster/Tile.js'
import { warpTile } from '../../../raster/warp/warpTile.js'
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
  const features = (planes: readonly Float32Array[]) =>
    structure(planes, size, size, FINE_SIGMA_PX, margin / MARGIN_SIGMAS, fineLight)
  const a = features(first)
  const b = features(second)
  let [dx, dy] = [0, 0]
  let weights = [1, 1, 1]
  let sums: ReturnType<typeof compare> | undefined
  for (let step = 0; step < STEPS; step++) {
    sums = compare(a, shifted(b, dx, dy), margin, weights)
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

/** Structure moved by a fraction of a pixel. */
function shifted(of: Structure, dx: number, dy: number): Structure {
  const { width, height, planes } = of
  const rect = { x: 0, y: 0, width, height }
  const source: Source = { width, height, region: (asked) => cut({ rect, planes }, asked) }
  return { width, height, planes: warpTile(source, [1, 0, dx, 0, 1, dy, 0, 0], rect).planes }
}

function cut({ rect: { width }, planes }: Tile, asked: Rect): Tile {
  const out = emptyTile(asked)
  for (const [c, plane] of planes.entries()) {
    for (let j = 0; j < asked.height; j++) {
      const from = (asked.y + j) * width + asked.x
      out.planes[c].set(plane.subarray(from, from + asked.width), j * asked.width)
    }
  }
  return out
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
