import { varianceOf } from './windowFacts.js'

export interface ReliefShape {
  rmsPercent: number
  periodPx: number
  /** Direction across the ridges, degrees clockwise from the picture's right, 0..180. */
  directionDeg: number
  isotropy: number
  /** Geometric over arithmetic mean of the power: 1 for white noise, small for relief. */
  flatness: number
}

/** How strong, how coarse and how directed a relief is, from its power over log2 luminance. */
export function reliefShape(power: Float32Array, n: number): ReliefShape {
  let best = 0
  let bestX = 0
  let bestY = 0
  let total = 0
  let cos2 = 0
  let sin2 = 0
  let logs = 0
  let count = 0
  for (let y = 0; y < n; y++) {
    const ky = y < n / 2 ? y : y - n
    for (let x = 0; x < n; x++) {
      const kx = x < n / 2 ? x : x - n
      const square = kx * kx + ky * ky
      if (square <= 2.25 || square > (n / 2) ** 2) continue
      const p = power[y * n + x]
      total += p
      cos2 += (p * (kx * kx - ky * ky)) / square
      sin2 += (p * 2 * kx * ky) / square
      logs += Math.log(p + 1e-20)
      count++
      if (p > best && kx >= 0) {
        best = p
        bestX = kx
        bestY = ky
      }
    }
  }
  const direction = (Math.atan2(sin2, cos2) * 90) / Math.PI
  return {
    rmsPercent: 100 * Math.LN2 * Math.sqrt(varianceOf(power, n)),
    periodPx: n / Math.max(1, Math.hypot(bestX, bestY)),
    directionDeg: (direction + 180) % 180,
    isotropy: total > 0 ? 1 - Math.hypot(cos2, sin2) / total : 1,
    flatness: count > 0 ? Math.exp(logs / count) / (total / count + 1e-20) : 1,
  }
}
