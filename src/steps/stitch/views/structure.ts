import { blurred } from './blurred.js'

/** What captures are compared by: band-passed logarithms, indifferent to gain and to slow changes of light. */
export interface Structure {
  width: number
  height: number
  /** Luminance, red against green, blue against green. */
  planes: [Float32Array, Float32Array, Float32Array]
}

/** Light below this share of the perfect diffuser counts as this much: logarithms of noise say nothing. */
const FLOOR = 0.01

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
  const n = width * height
  const [r, g, b] = linear
  const light = new Float32Array(n)
  const red = new Float32Array(n)
  const blue = new Float32Array(n)
  for (let i = 0; i < n; i++) {
    const lr = Math.log(Math.max(r[i], FLOOR))
    const lg = Math.log(Math.max(g[i], FLOOR))
    const lb = Math.log(Math.max(b[i], FLOOR))
    light[i] = 0.3 * lr + 0.6 * lg + 0.1 * lb
    red[i] = lr - lg
    blue[i] = lb - lg
  }
  const band = (plane: Float32Array, fine: number) => {
    const low = blurred(plane, width, height, coarseSigmaPx)
    const high = fine > 0 ? blurred(plane, width, height, fine) : plane
    for (let i = 0; i < n; i++) low[i] = high[i] - low[i]
    return low
  }
  return {
    width,
    height,
    planes: [band(light, luminanceFineSigmaPx), band(red, fineSigmaPx), band(blue, fineSigmaPx)],
  }
}
