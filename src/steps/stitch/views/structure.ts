import { type BlurSize, blurHeld, blurSize, bringRows, takeRows } from '../../../raster/blurred.js'
import { holding, kernels } from '../../../raster/kernels/kernels.js'

/** What captures are compared by: band-passed logarithms, indifferent to gain and to slow changes of light. */
export interface Structure {
  width: number
  height: number
  /** Luminance, red against green, blue against green. */
  planes: [Float32Array, Float32Array, Float32Array]
}

/** Light below this share of the perfect diffuser counts as this much: logarithms of noise say nothing. */
const FLOOR = 0.01
/** Shares of red, green and blue in log luminance. */
const LUMINANCE = [0.3, 0.6, 0.1] as const

/**
 * Painted structure of linear planes: differences of two blurs of log luminance and of log colour ratios. Relief
 * multiplies all channels alike, so the colour ratios are free of it.
 * @param fineSigmaPx what is finer is left out
 * @param coarseSigmaPx what is coarser is left out
 */
export function structure(
  linear: readonly Float32Array[],
  width: number,
  height: number,
  fineSigmaPx: number,
  coarseSigmaPx: number,
  luminanceFineSigmaPx = fineSigmaPx,
): Structure {
  const size = blurSize(width, height)
  const { planeBytes, workBytes } = structureBytes(size)
  return holding([planeBytes, planeBytes, planeBytes, workBytes], (r, g, b, work) => {
    const places = [r, g, b] as const
    for (const [c, plane] of linear.entries()) bringRows(plane, places[c], size)
    structureHeld(places, work, size, [luminanceFineSigmaPx, fineSigmaPx, fineSigmaPx], coarseSigmaPx)
    return { width, height, planes: places.map((at) => takeRows(at, size)) as Structure['planes'] }
  })
}

/** Kernel memory that `structureHeld` needs: for each of its planes, and to work with. */
export const structureBytes = ({ planeBytes, sumBytes }: BlurSize) => ({
  planeBytes,
  workBytes: 2 * planeBytes + sumBytes,
})

/** Linear planes in kernel memory become structure, in place. */
export function structureHeld(
  places: readonly [r: number, g: number, b: number],
  work: number,
  size: BlurSize,
  fineSigmasPx: readonly [number, number, number],
  coarseSigmaPx: number,
): void {
  const { logStructure, subtractPlane } = kernels()
  const { planeBytes } = size
  const count = size.stride * size.height
  const [coarse, spare, sums] = [work, work + planeBytes, work + 2 * planeBytes]
  logStructure(...places, count, FLOOR, ...LUMINANCE)
  for (const [c, at] of places.entries()) {
    blurHeld(at, coarse, spare, sums, size, coarseSigmaPx)
    if (fineSigmasPx[c] > 0) blurHeld(at, at, spare, sums, size, fineSigmasPx[c])
    subtractPlane(at, coarse, count)
  }
}
