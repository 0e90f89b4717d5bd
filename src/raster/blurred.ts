import { holding, kernels } from './kernels/kernels.js'

/**
 * A plane blurred by nearly a Gaussian: three running means one after the other, weights shared out among what the
 * picture holds at its borders.
 * @param sigmaPx standard deviation in pixels
 * Source: W. M. Wells, "Efficient synthesis of Gaussian filters by cascaded uniform filters", IEEE Trans. PAMI 8(2),
 * 1986, pp. 234-239 (method; from memory).
 */
export function blurred(plane: Float32Array, width: number, height: number, sigmaPx: number): Float32Array {
  const size = blurSize(width, height)
  return holding([size.planeBytes, size.planeBytes, size.sumBytes], (at, work, sums) => {
    bringRows(plane, at, size)
    blurHeld(at, at, work, sums, size, sigmaPx)
    return takeRows(at, size)
  })
}

/** A plane as kernels hold it: rows and columns filled up to multiples of four. */
export interface BlurSize {
  width: number
  height: number
  /** Values a row, and rows. */
  stride: number
  rows: number
  planeBytes: number
  /** Of what running sums need. */
  sumBytes: number
}

export function blurSize(width: number, height: number): BlurSize {
  const [stride, rows] = [(width + 3) & ~3, (height + 3) & ~3]
  const planeBytes = stride * rows * 4
  return { width, height, stride, rows, planeBytes, sumBytes: Math.max(stride, rows) * 4 }
}

/** Blurs a plane in kernel memory. `to` may be `from`; `work` and `to` have room for a plane. */
export function blurHeld(
  from: number,
  to: number,
  work: number,
  sums: number,
  { width, height, stride, rows, planeBytes }: BlurSize,
  sigmaPx: number,
): void {
  const { memory, meanColumns, transposePlane } = kernels()
  const wide = radii(sigmaPx).filter((radius) => radius > 0)
  // Down the columns, then down those of the transposed plane; running means along and across can change places.
  const down = (at: number, other: number, length: number, count: number) => {
    let [here, there] = [at, other]
    for (const radius of wide) {
      meanColumns(here, there, length, count, radius, sums)
      ;[here, there] = [there, here]
    }
    return { here, there }
  }
  if (from !== to) new Uint8Array(memory.buffer).copyWithin(to, from, from + planeBytes)
  const first = down(to, work, stride, height)
  transposePlane(first.here, first.there, stride, rows)
  const second = down(first.there, first.here, rows, width)
  transposePlane(second.here, second.there, rows, stride)
  if (second.there !== to)
    new Uint8Array(memory.buffer).copyWithin(to, second.there, second.there + planeBytes)
}

/** Copies a plane to kernel memory. */
export function bringRows(plane: Float32Array, at: number, { width, height, stride }: BlurSize): void {
  const floats = new Float32Array(kernels().memory.buffer)
  if (stride === width) floats.set(plane, at / 4)
  else
    for (let y = 0; y < height; y++)
      floats.set(plane.subarray(y * width, (y + 1) * width), at / 4 + y * stride)
}

/** A plane copied from kernel memory. */
export function takeRows(at: number, { width, height, stride }: BlurSize): Float32Array {
  const floats = new Float32Array(kernels().memory.buffer)
  if (stride === width) return floats.slice(at / 4, at / 4 + width * height)
  const plane = new Float32Array(width * height)
  for (let y = 0; y < height; y++) {
    const from = at / 4 + y * stride
    plane.set(floats.subarray(from, from + width), y * width)
  }
  return plane
}

/** Radii of three running means whose variances (n^2 - 1) / 12 sum to sigma^2 as nearly as whole pixels allow. */
function radii(sigma: number): number[] {
  const ideal = Math.sqrt(4 * sigma * sigma + 1)
  const low = Math.max(0, Math.floor((ideal - 1) / 2))
  const variance = (radius: number) => ((2 * radius + 1) ** 2 - 1) / 12
  const wide = Math.round((sigma * sigma - 3 * variance(low)) / (variance(low + 1) - variance(low)))
  return [0, 1, 2].map((i) => (i < wide ? low + 1 : low))
}
