import type { Lens } from '../../../../raster/warp/Lens.js'
import type { PlaneMap } from '../../../../raster/warp/PlaneMap.js'
import { angleOf, moved, scaleOf } from '../../Placement.js'
import { halfExtent, type Upright } from '../../views/Upright.js'
import type { Model } from './Model.js'

/** What is known of a camera on a stand beforehand, as standard deviations: tilt (radians), */
const TILT_SIGMA = 0.15
/** focal length (of its logarithm) about this many times the frame's longer side, and the lens's distortion. */
const FOCAL_SIDES = 1.4
const FOCAL_SIGMA = 0.4
const K1_SIGMA = 0.08
const K2_SIGMA = 0.04

/**
 * Frames of one camera: each lies as its position, distance, turn and tilt say; focal length and radial distortion are
 * shared. A frame's plane homography follows from these: the sheet's point is where the ray through a pixel meets it.
 * Own: where the optical axis meets the sheet (x, y), logarithm of the sheet's pixels a frame pixel there (for no tilt),
 * turn, and the tilt's two parts. Shared: logarithm of the focal length against what is usual, k1, k2.
 * Source: Z. Zhang 2000 (see Lens.ts) for the homography of a plane; the principal point is the frame's middle.
 */
export function cameraModel(uprights: readonly Upright[]): Model {
  const [halfX, halfY] = [0, 1].map((axis) =>
    Math.max(...uprights.map((upright) => halfExtent(upright)[axis])),
  )
  const unitPx = Math.hypot(halfX, halfY)
  const usualPx = FOCAL_SIDES * 2 * Math.max(halfX, halfY)
  return {
    ownSigmas: [undefined, undefined, undefined, undefined, TILT_SIGMA, TILT_SIGMA],
    held: [true, true, true, true, false, false],
    ownSteps: [1e-3, 1e-3, 1e-6, 1e-6, 1e-6, 1e-6],
    shared: [0, 0, 0],
    sharedSigmas: [FOCAL_SIGMA, K1_SIGMA, K2_SIGMA],
    sharedSteps: [1e-5, 1e-6, 1e-6],
    ownOf: (placement) => [
      ...moved(placement, 0, 0),
      Math.log(scaleOf(placement)),
      angleOf(placement),
      ...[0, 0],
    ],
    place([x, y, logScale, turn, tiltX, tiltY], [logFocal, k1, k2]) {
      const lens: Lens = { x: 0, y: 0, unitPx, k1, k2 }
      return {
        map: homography(x, y, Math.exp(logScale), turn, tiltX, tiltY, usualPx * Math.exp(logFocal)),
        from: lens,
      }
    },
  }
}

/** How far a frame's own numbers have it tilted, radians. */
export const tiltOf = ([, , , , tiltX, tiltY]: readonly number[]): number => Math.hypot(tiltX, tiltY)

/** The focal length that shared numbers mean, in pixels of the finest frame. */
export const focalPxOf = (uprights: readonly Upright[], [logFocal]: readonly number[]): number =>
  FOCAL_SIDES * 2 * Math.max(...uprights.flatMap(halfExtent)) * Math.exp(logFocal)

function homography(
  x: number,
  y: number,
  scale: number,
  turn: number,
  tiltX: number,
  tiltY: number,
  focalPx: number,
): PlaneMap {
  const tilted = rotation(tiltX, tiltY)
  const [c, s] = [Math.cos(turn), Math.sin(turn)]
  // Rows of turn times tilt, their first two columns divided by the focal length: pixels become rays.
  const row = (a: readonly number[], b: readonly number[], p: number, q: number) =>
    [0, 1, 2].map((k) => (p * a[k] + q * b[k]) / (k < 2 ? focalPx : 1))
  const rayX = row(tilted[0], tilted[1], c, -s)
  const rayY = row(tilted[0], tilted[1], s, c)
  const rayZ = row(tilted[2], tilted[2], 1, 0)
  const distance = scale * focalPx
  const [shiftX, shiftY] = [x - (distance * rayX[2]) / rayZ[2], y - (distance * rayY[2]) / rayZ[2]]
  const matrix = [
    ...rayX.map((value, k) => distance * value + shiftX * rayZ[k]),
    ...rayY.map((value, k) => distance * value + shiftY * rayZ[k]),
    ...rayZ,
  ]
  return matrix.slice(0, 8).map((value) => value / matrix[8]) as PlaneMap
}

/** Rodrigues' rotation about (x, y, 0) by its length in radians, row by row. */
function rotation(x: number, y: number): number[][] {
  const angle = Math.hypot(x, y)
  const [c, s] = [Math.cos(angle), angle > 0 ? Math.sin(angle) / angle : 1]
  const v = angle > 0 ? (1 - c) / (angle * angle) : 0.5
  return [
    [1 - v * y * y, v * x * y, s * y],
    [v * x * y, 1 - v * x * x, -s * x],
    [-s * y, s * x, c],
  ]
}
