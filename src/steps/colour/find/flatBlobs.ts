import type { LightView } from './lightView.js'

/** A connected area of nearly even colour that could be a patch. Positions in view pixels, pixel centres at halves. */
export interface Blob {
  x: number
  y: number
  areaPx: number
  /** Covariance of its pixels' positions: xx, xy, yy. */
  covariance: [number, number, number]
}

/** Smallest area worth keeping: below it neither shape nor centre mean anything. */
const MIN_AREA_PX = 12

/**
 * Finds even areas shaped like a parallelogram: pixels whose lightness changes by less than `threshold` over two
 * pixels, in connected groups. For any filled parallelogram area = 12 sqrt(det covariance), which is the shape test.
 * @param threshold difference of lightness, 0..100
 */
export function flatBlobs({ width, height, seen }: LightView, threshold: number): Blob[] {
  const flat = flatMask(seen, width, height, threshold)
  const stack = new Int32Array(width * height)
  const blobs: Blob[] = []
  const maxArea = (width * height) / 16
  for (let start = 0; start < flat.length; start++) {
    if (!flat[start]) continue
    let [top, n, sx, sy, sxx, sxy, syy] = [0, 0, 0, 0, 0, 0, 0]
    stack[top++] = start
    flat[start] = 0
    while (top > 0) {
      const p = stack[--top]
      const x = p % width
      const y = (p - x) / width
      n++
      sx += x
      sy += y
      sxx += x * x
      sxy += x * y
      syy += y * y
      // The mask is zero along the border, so no neighbour leaves the picture.
      if (flat[p - 1]) stack[top++] = take(flat, p - 1)
      if (flat[p + 1]) stack[top++] = take(flat, p + 1)
      if (flat[p - width]) stack[top++] = take(flat, p - width)
      if (flat[p + width]) stack[top++] = take(flat, p + width)
    }
    if (n < MIN_AREA_PX || n > maxArea) continue
    const mx = sx / n
    const my = sy / n
    // A pixel is a small square: its own spread of 1/12 belongs to the area's.
    const covariance: Blob['covariance'] = [
      sxx / n - mx * mx + 1 / 12,
      sxy / n - mx * my,
      syy / n - my * my + 1 / 12,
    ]
    const blob = { x: mx + 0.5, y: my + 0.5, areaPx: n, covariance }
    if (isParallelogram(blob)) blobs.push(blob)
  }
  return blobs
}

function take(flat: Uint8Array, p: number): number {
  flat[p] = 0
  return p
}

function isParallelogram({ areaPx, covariance: [xx, xy, yy] }: Blob): boolean {
  const determinant = xx * yy - xy * xy
  const fill = areaPx / (12 * Math.sqrt(determinant))
  const half = (xx + yy) / 2
  const difference = Math.sqrt(Math.max(0, half * half - determinant))
  const elongation = Math.sqrt((half + difference) / (half - difference))
  return fill > 0.82 && fill < 1.1 && elongation < 2.5
}

function flatMask(planes: LightView['seen'], width: number, height: number, threshold: number): Uint8Array {
  const flat = new Uint8Array(width * height)
  for (let y = 1; y < height - 1; y++) {
    for (let x = 1; x < width - 1; x++) {
      const p = y * width + x
      let steepest = 0
      for (const plane of planes) {
        const across = Math.abs(plane[p + 1] - plane[p - 1])
        const down = Math.abs(plane[p + width] - plane[p - width])
        if (across > steepest) steepest = across
        if (down > steepest) steepest = down
      }
      if (steepest < threshold) flat[p] = 1
    }
  }
  return flat
}
