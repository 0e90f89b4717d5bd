/** A frequency that stands out of a relief: laid lines, the threads of a weave, a printed screen. */
export interface PeriodicPeak {
  periodPx: number
  /** Across the lines, degrees from the picture's right, clockwise, -90 to 90. */
  directionDeg: number
  /** Share of the relief's whole power around the peak, 0..1. */
  share: number
}

/** A peak stands this many times over the median of its ring of frequencies. */
const STANDS_OUT = 8
/** And holds at least this share of all power. */
const LEAST_SHARE = 0.02
/** Slower than this many cycles a window nothing is called periodic. */
const SLOWEST = 2

/**
 * The periods of a relief that repeats: local maxima of the spectrum, well above what lies at the same distance from zero
 * in other directions; strongest first. A sheet of irregular tooth has none.
 * @param power `n * n`, frequency k at `ky * n + kx`
 * @returns at most six, places between frequencies by the centre of gravity of 3 x 3
 */
export function periodicPeaks(power: Float32Array, n: number): PeriodicPeak[] {
  const at = (y: number, x: number) => power[((y + n) % n) * n + ((x + n) % n)]
  const total = power.reduce((a, b) => a + b, 0)
  const rings = ringMedians(power, n)
  const peaks: PeriodicPeak[] = []
  for (let y = -n / 2 + 1; y < n / 2; y++) {
    // Half of the plane: the other repeats it.
    for (let x = 0; x < n / 2; x++) {
      if (x === 0 && y <= 0) continue
      const radius = Math.hypot(x, y)
      if (radius < SLOWEST || radius >= n / 2 - 1) continue
      let [sum, sumX, sumY, most] = [0, 0, 0, 0]
      for (let j = -1; j <= 1; j++) {
        for (let i = -1; i <= 1; i++) {
          const value = at(y + j, x + i)
          sum += value
          sumX += value * i
          sumY += value * j
          if (i !== 0 || j !== 0) most = Math.max(most, value)
        }
      }
      if (at(y, x) < most || at(y, x) < STANDS_OUT * rings[Math.round(radius)]) continue
      const share = (2 * sum) / total
      if (share < LEAST_SHARE) continue
      const [fx, fy] = [x + sumX / sum, y + sumY / sum]
      const angle = (Math.atan2(fy, fx) * 180) / Math.PI
      peaks.push({
        periodPx: Number((n / Math.hypot(fx, fy)).toFixed(2)),
        directionDeg: Number((angle > 90 ? angle - 180 : angle < -90 ? angle + 180 : angle).toFixed(1)),
        share: Number(share.toFixed(3)),
      })
    }
  }
  return peaks.sort((a, b) => b.share - a.share).slice(0, 6)
}

/** The median of the power at each whole distance from zero. */
function ringMedians(power: Float32Array, n: number): number[] {
  const rings = Array.from({ length: n }, (): number[] => [])
  for (let i = 0; i < power.length; i++) {
    const [x, y] = [i % n, Math.floor(i / n)].map((k) => Math.min(k, n - k))
    rings[Math.round(Math.hypot(x, y))].push(power[i])
  }
  return rings.map((ring) => ring.sort((a, b) => a - b)[ring.length >> 1] ?? 0)
}
