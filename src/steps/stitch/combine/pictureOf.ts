import { kernels, scratch } from '../../../raster/kernels/kernels.js'
import type { Rect } from '../../../raster/Rect.js'
import type { Tile } from '../../../raster/Tile.js'
import { cropped } from './cropped.js'
import { FINE_COUNT, FINE_PX, type FineDetail } from './FineDetail.js'
import { LEAST_LIGHT, LIGHT } from './slopes.js'

/** Pixels beyond a place that have a say in it. */
export const FINE_REACH_PX = FINE_PX
/** Windows lie so far apart, on a grid of the sheet. */
const STEP = 2
/** Coefficients below so many times their noise's deviation are noise: of ten thousand that are, fourteen stay. */
const THRESHOLD = 3.2
/** Light below this counts as this much where noise is reckoned. */
const DARKEST = 0.02
/** Slopes cost no more than this share of the light, whatever the model says. */
export const LEAST_EVEN = 0.6
/** Shape of the window by which overlapping windows are weighed. */
const KAISER = 2

/**
 * What two opposite lightings show in common: their mean, what slopes cost both given back, with the finest detail of the
 * sharper of them and without their noise. In overlapping windows of 8 x 8 pixels colours are turned to the window's own
 * axes, along which paint varies (its channels hold mostly one picture, their noise is everyone's own), and coefficients
 * that do not stand above the noise go.
 * @param a, b the lightings' light on `near`, highlights taken off
 * @param across slopes across the lamp on `near`; undefined where they are not concluded
 * @param near `rect` with `FINE_REACH_PX` around it
 * Sources: D. D. Muresan, T. W. Parks, "Adaptive principal components and image denoising", ICIP 2003, pp. 101-104 (axes
 * found in each window); O. G. Guleryuz, "Weighted averaging for denoising with overcomplete dictionaries", IEEE Trans.
 * Image Processing 16(12), 2007, pp. 3020-3034 (overlapping windows, sparse ones count more). Both from memory.
 */
export function pictureOf(
  a: Tile['planes'],
  b: Tile['planes'],
  across: Float32Array | undefined,
  near: Rect,
  rect: Rect,
  curvature: number,
  fine: FineDetail,
): Tile['planes'] {
  const count = near.width * near.height
  // Kernels take four numbers at a time.
  const length = (count + 3) & ~3
  const three = 12 * length
  const rowBytes = (4 * near.width + 15) & ~15
  const [fromA, fromB, slopes, mean, half, spectra, weights, work, sums] = scratch(
    ...[three, three, 4 * length, three, three],
    ...[4 * 4 * FINE_COUNT, 4 * FINE_PX, (9 * FINE_PX + 1) * rowBytes, 4 * 4 * length],
  )
  const { memory, pairRoots, pictureWindows, lightOfSums } = kernels()
  const floats = (at: number, size: number) => new Float32Array(memory.buffer, at, size)
  for (let c = 0; c < 3; c++) {
    floats(fromA + 4 * c * length, count).set(a[c])
    floats(fromB + 4 * c * length, count).set(b[c])
  }
  if (across) floats(slopes, count).set(across)
  const [wr, wg, wb] = LIGHT
  // biome-ignore format: the pair, how it shades, results
  pairRoots(
    fromA, fromB, length, across ? slopes : 0, curvature, LEAST_EVEN, LEAST_LIGHT, wr, wg, wb, mean, half,
  )
  const quarter = fine.differing.map((value) => value / 4)
  floats(spectra, 4 * FINE_COUNT).set([
    ...fine.noise,
    ...fine.slopes,
    ...quarter,
    ...quarter.map((value, i) => value * fine.sharper[i]),
  ])
  floats(weights, FINE_PX).set(windowWeights())
  floats(sums, 4 * length).fill(0)
  const { first: firstX, windows: across8 } = windowsOver(rect.x, rect.width)
  const { first: firstY, windows: down8 } = windowsOver(rect.y, rect.height)
  // biome-ignore format: planes, windows, what is known, sums
  pictureWindows(
    mean, half, near.width, length, firstX - near.x, firstY - near.y, across8, down8, STEP,
    spectra, weights, fine.readout, fine.photon, DARKEST, fine.luminanceShare, THRESHOLD, wr, wg, wb, work, sums,
  )
  lightOfSums(sums, length, mean)
  return [0, 1, 2].map((c) => cropped(floats(mean + 4 * c * length, count), near, rect)) as Tile['planes']
}

/** The windows on the sheet's grid that hold one of `length` pixels from `from` on. */
function windowsOver(from: number, length: number): { first: number; windows: number } {
  const first = Math.ceil((from - FINE_PX + 1) / STEP) * STEP
  const last = Math.floor((from + length - 1) / STEP) * STEP
  return { first, windows: (last - first) / STEP + 1 }
}

let kept: Float32Array | undefined

/** Kaiser's window. */
function windowWeights(): Float32Array {
  if (kept) return kept
  const bessel = (x: number) => {
    let [term, sum] = [1, 1]
    for (let k = 1; term > 1e-12; k++) sum += term *= (x / (2 * k)) ** 2
    return sum
  }
  kept = Float32Array.from({ length: FINE_PX }, (_, i) =>
    bessel(KAISER * Math.sqrt(1 - ((2 * i) / (FINE_PX - 1) - 1) ** 2)),
  )
  return kept
}
