import { fft2d, type TransformSize } from '../../../raster/fft/fft2d.js'
import { after, type Placement, rigid } from '../Placement.js'
import { halfExtent } from '../views/Upright.js'
import type { Level, View } from '../views/View.js'

/** A guess where one capture lies on another. */
export interface Candidate {
  /** From the first capture's centred coordinates to the second's. */
  map: Placement
  /** Normalised cross-correlation of the structure in the common area, -1..1. */
  correlation: number
  /**
   * Fisher's z of the correlation, atanh r, in its own standard deviations: how unlikely chance is. (R. A. Fisher, "On the
   * probable error of a coefficient of correlation", Metron 1, 1921; from memory.)
   */
  significance: number
}

/** Largest rotation between two captures: 3 degrees each way for each. */
const LARGEST_TURN_DEG = 6
const TURN_STEP_DEG = 1.5
/** Weight of the colour plane against luminance. */
const COLOUR_WEIGHT = 1.5
/** Pixels of a thumb that carry one independent sample, for structure of FINE_SIGMA 0.8 px (estimated on noise). */
const PIXELS_A_SAMPLE = 8
/** Common areas smaller than this share of the smaller capture are not looked at. */
const LEAST_SHARE = 0.03
/** Peaks nearer than this are one. */
const APART_PX = 4

/** A square complex plane, row by row. */
interface ComplexPlane {
  size: TransformSize
  re: Float32Array
  im: Float32Array
}

/** Spectra of one capture at a level, for correlating. */
export interface Spectra {
  view: View
  level: Level
  size: TransformSize
  /** Without rotation. */
  plain: ComplexPlane
  energy: Float64Array
  /** At each rotation of the search; `energy` is a summed-area table of structure squared, (width + 1) x (height + 1). */
  turned: { angle: number; spectrum: ComplexPlane; energy: Float64Array }[]
}

/** The transform size that keeps every shift of two levels apart. */
export const transformSize = (levels: readonly Level[]): TransformSize =>
  Math.max(
    32,
    2 ** Math.ceil(Math.log2(2 * Math.max(...levels.flatMap(({ width, height }) => [width, height])))),
  ) as TransformSize

export function spectraOf(view: View, level: Level, size: TransformSize): Spectra {
  const combined = combine(level)
  const turned: Spectra['turned'] = []
  for (let deg = -LARGEST_TURN_DEG; deg <= LARGEST_TURN_DEG; deg += TURN_STEP_DEG) {
    const angle = (deg * Math.PI) / 180
    const plane = rotated(level, combined, angle, size)
    const energy = energyOf(level, plane)
    fft2d(plane.re, plane.im, size)
    turned.push({ angle, spectrum: plane, energy })
  }
  const { spectrum: plain, energy } = turned.find(({ angle }) => angle === 0)!
  return { view, level, size, plain, energy, turned }
}

/** The best few places of `second` on `first`, most significant first. Both at levels of one cell. */
export function findCandidates(first: Spectra, second: Spectra, count: number): Candidate[] {
  const peaks: { angle: number; x: number; y: number; correlation: number; significance: number }[] = []
  for (const { angle, spectrum, energy } of second.turned) {
    const product = correlated(first.plain, spectrum)
    for (const peak of peaksOf(product, first, second, energy)) peaks.push({ angle, ...peak })
  }
  peaks.sort((a, b) => b.significance - a.significance)
  const kept: typeof peaks = []
  for (const peak of peaks) {
    if (kept.length === count) break
    if (kept.every(({ x, y }) => Math.hypot(x - peak.x, y - peak.y) > APART_PX)) kept.push(peak)
  }
  return kept.map(({ angle, x, y, correlation, significance }) => ({
    map: asMap(first, second, angle, x, y),
    correlation,
    significance,
  }))
}

/** Level pixel p of the first lies on pixel p + (x, y) of the second turned by -angle about its middle. */
function asMap(first: Spectra, second: Spectra, angle: number, x: number, y: number): Placement {
  const { cell } = first.level
  const [halfX, halfY] = halfExtent(first.view.upright)
  const [cx, cy] = [((second.level.width - 1) / 2) * cell, ((second.level.height - 1) / 2) * cell]
  // First's centred coordinates to its level pixels times cell, shifted, to the turn's middle.
  const shift = rigid(0, halfX - cell / 2 + x * cell - cx, halfY - cell / 2 + y * cell - cy)
  const [halfX2, halfY2] = halfExtent(second.view.upright)
  const back = rigid(0, cx + cell / 2 - halfX2, cy + cell / 2 - halfY2)
  return after(after(shift, rigid(angle, 0, 0)), back)
}

/** Luminance as real, warm against cool as imaginary part: one transform correlates both. */
function combine({ planes: [light, red, blue] }: Level): { re: Float32Array; im: Float32Array } {
  const im = red.map((value, i) => COLOUR_WEIGHT * (value - blue[i]))
  return { re: limited(light), im: limited(im) }
}

/** Values beyond three times the plane's mean size are held there: a few strong edges must not decide alone. */
function limited(plane: Float32Array): Float32Array {
  let sum = 0
  for (const value of plane) sum += Math.abs(value)
  const limit = (3 * sum) / plane.length
  return plane.map((value) => Math.max(-limit, Math.min(limit, value)))
}

function rotated(
  { width, height }: Level,
  { re, im }: { re: Float32Array; im: Float32Array },
  angle: number,
  size: TransformSize,
): ComplexPlane {
  const plane: ComplexPlane = { size, re: new Float32Array(size * size), im: new Float32Array(size * size) }
  const [c, s] = [Math.cos(angle), Math.sin(angle)]
  const [cx, cy] = [(width - 1) / 2, (height - 1) / 2]
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const u = c * (x - cx) - s * (y - cy) + cx
      const v = s * (x - cx) + c * (y - cy) + cy
      const [x0, y0] = [Math.floor(u), Math.floor(v)]
      if (x0 < 0 || y0 < 0 || x0 + 1 > width - 1 || y0 + 1 > height - 1) {
        if (angle !== 0) continue
        plane.re[y * size + x] = re[y * width + x]
        plane.im[y * size + x] = im[y * width + x]
        continue
      }
      const [fx, fy] = [u - x0, v - y0]
      const at = y0 * width + x0
      const sample = (p: Float32Array) =>
        (p[at] * (1 - fx) + p[at + 1] * fx) * (1 - fy) +
        (p[at + width] * (1 - fx) + p[at + width + 1] * fx) * fy
      plane.re[y * size + x] = sample(re)
      plane.im[y * size + x] = sample(im)
    }
  }
  return plane
}

function energyOf({ width, height }: Level, { re, im, size }: ComplexPlane): Float64Array {
  const stride = width + 1
  const sums = new Float64Array(stride * (height + 1))
  for (let y = 0; y < height; y++) {
    let row = 0
    for (let x = 0; x < width; x++) {
      const i = y * size + x
      row += re[i] * re[i] + im[i] * im[i]
      sums[(y + 1) * stride + x + 1] = sums[y * stride + x + 1] + row
    }
  }
  return sums
}

/** conj(a) b, transformed back: its real part is the correlation at every shift. */
function correlated(a: ComplexPlane, b: ComplexPlane): Float32Array {
  const n = a.re.length
  const re = new Float32Array(n)
  const im = new Float32Array(n)
  for (let i = 0; i < n; i++) {
    re[i] = a.re[i] * b.re[i] + a.im[i] * b.im[i]
    im[i] = a.re[i] * b.im[i] - a.im[i] * b.re[i]
  }
  fft2d(im, re, a.size)
  const scale = 1 / n
  for (let i = 0; i < n; i++) re[i] *= scale
  return re
}

function boxSum(table: Float64Array, width: number, x0: number, y0: number, x1: number, y1: number): number {
  const stride = width + 1
  return table[y1 * stride + x1] - table[y0 * stride + x1] - table[y1 * stride + x0] + table[y0 * stride + x0]
}

function peaksOf(re: Float32Array, first: Spectra, second: Spectra, energy: Float64Array) {
  const { size } = first
  const [w1, h1] = [first.level.width, first.level.height]
  const [w2, h2] = [second.level.width, second.level.height]
  const leastArea = LEAST_SHARE * Math.min(w1 * h1, w2 * h2)
  // Energy that is only noise must not be divided by: a tenth of the captures' own is taken for granted.
  const floor1 = (0.1 * first.energy[first.energy.length - 1]) / (w1 * h1)
  const floor2 = (0.1 * energy[energy.length - 1]) / (w2 * h2)
  let best: { x: number; y: number; correlation: number; significance: number }[] = []
  for (let y = 1 - h1; y < h2; y++) {
    const [y0, y1] = [Math.max(0, -y), Math.min(h1, h2 - y)]
    if (y1 - y0 < 4) continue
    const row = (y < 0 ? y + size : y) * size
    for (let x = 1 - w1; x < w2; x++) {
      const value = re[row + (x < 0 ? x + size : x)]
      if (value <= 0) continue
      const [x0, x1] = [Math.max(0, -x), Math.min(w1, w2 - x)]
      const area = (x1 - x0) * (y1 - y0)
      if (x1 - x0 < 4 || area < leastArea) continue
      const e1 = boxSum(first.energy, w1, x0, y0, x1, y1) + floor1 * area
      const e2 = boxSum(energy, w2, x0 + x, y0 + y, x1 + x, y1 + y) + floor2 * area
      const correlation = value / Math.sqrt(e1 * e2)
      const significance = Math.atanh(Math.min(correlation, 0.95)) * Math.sqrt(area / PIXELS_A_SAMPLE)
      if (best.length === 6 && significance <= best[5].significance) continue
      const near = best.find((peak) => Math.hypot(peak.x - x, peak.y - y) <= APART_PX)
      if (near && near.significance >= significance) continue
      best = [...best.filter((peak) => peak !== near), { x, y, correlation, significance }]
        .sort((a, b) => b.significance - a.significance)
        .slice(0, 6)
    }
  }
  return best
}
