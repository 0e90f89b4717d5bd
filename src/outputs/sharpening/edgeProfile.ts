import { type PrintChain, resampling } from './printChain.js'

/** Least distance between samples of the profile, in output pixels. */
const FINEST_STEP_PX = 0.05

/**
 * An ideal black-to-white edge as the file holds it before sharpening, and its Gaussian blur, over the distance from
 * the edge: both from 0 to 1.
 */
export function edgeProfile(
  chain: PrintChain,
  sigmaPx: number,
): {
  edge: number[]
  blurred: number[]
  /** Distance between samples; the edge is at the middle one. */
  stepPx: number
} {
  const resampler = resampling(chain)
  const pixelPx = chain.ppi / chain.effectivePpi
  // A twentieth of whatever is narrower, the sharpening's Gaussian or the captured pixel's surroundings.
  const stepPx = Math.max(FINEST_STEP_PX, Math.min(sigmaPx, 2 * pixelPx) / 20)
  const reachPx = (resampler ? resampler.filter.reach * resampler.stretch : 0) + pixelPx / 2 + 1
  const n = Math.ceil((reachPx + 4 * sigmaPx) / stepPx)
  const at = (k: number) => (k - n) * stepPx
  // The edge's derivative: the captured pixel's box, spread by the filter.
  const box = Array.from({ length: 2 * n + 1 }, (_, k) => {
    const inside = pixelPx / 2 - Math.abs(at(k))
    return Math.min(1, Math.max(0, inside / stepPx + 0.5)) / pixelPx
  })
  const spread = resampler
    ? convolve(box, (x) => resampler.filter.value(x / resampler.stretch) / resampler.stretch, reachPx, stepPx)
    : box
  const edge = cumulated(spread)
  const gaussian = (x: number) => Math.exp(-0.5 * (x / sigmaPx) ** 2) / (sigmaPx * Math.sqrt(2 * Math.PI))
  const blurred = cumulated(convolve(spread, gaussian, 4 * sigmaPx, stepPx))
  return { edge, blurred, stepPx }
}

function convolve(values: number[], kernel: (x: number) => number, reach: number, step: number): number[] {
  const r = Math.ceil(reach / step)
  const taps = Array.from({ length: 2 * r + 1 }, (_, k) => kernel((k - r) * step) * step)
  return values.map((_, i) => {
    let sum = 0
    for (let k = Math.max(0, i + r - values.length + 1); k <= Math.min(2 * r, i + r); k++) {
      sum += taps[k] * values[i + r - k]
    }
    return sum
  })
}

/** Running integral, scaled to end at 1. */
function cumulated(density: number[]): number[] {
  let sum = 0
  const running = density.map((v) => (sum += v))
  return running.map((v) => v / sum)
}
