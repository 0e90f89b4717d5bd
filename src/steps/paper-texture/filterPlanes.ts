import { type ColourNoise, NOISE_WINDOW } from './colourNoise.js'
import type { ReliefFilter, WindowScale } from './ReliefFilter.js'
import { fromHalfPlane } from './spectrum.js'

/** Frequencies up to this many cycles in 32 px do not tell a picture from relief. */
const SLOWEST_CYCLES = 2.5

export interface FilterPlanes {
  scales: Float32Array[]
  noise: Float32Array | undefined
}

/** A filter's spectra as the kernels take them: made once a picture, copied into their memory for each tile. */
export function filterPlanes({ scales, noise }: ReliefFilter): FilterPlanes {
  return { scales: scales.map(reliefPlanes), noise: noise && noisePlanes(noise) }
}

/**
 * The kernel's four planes, n rows of n + 4: 1 / power; the same with a floor, for the fit; share of all power; 1 where a
 * frequency tells a picture from relief.
 */
function reliefPlanes({ n, relief }: WindowScale): Float32Array {
  const sum = relief.reduce((a, b) => a + b, 0)
  const floor = (0.02 * sum) / (n * n)
  return inRows(n, [
    relief.map((power) => 1 / (power + 1e-5 * floor)),
    relief.map((power) => 1 / (power + floor)),
    relief.map((power) => power / sum),
    relief.map((_, i) => (telling(i, n) ? 1 : 0)),
  ])
}

/**
 * Whether a frequency tells a picture from relief. The slowest do not: a window holds one or two of their periods, relief
 * has little power there, and a slow swell of the sheet looks like paint.
 */
const telling = (i: number, n: number) => {
  const [x, y] = [i % n, Math.floor(i / n)].map((k) => Math.min(k, n - k))
  return Math.hypot(x, y) > (SLOWEST_CYCLES * n) / 32
}

/** The kernel's three planes for the ratios: 1 / power in red/green, in blue/green; the last is not used. */
function noisePlanes({ red, blue }: ColourNoise): Float32Array {
  const inverse = (power: number) => 1 / (power + 1e-9)
  return inRows(NOISE_WINDOW, [
    ...[red, blue].map((half) => fromHalfPlane(half, NOISE_WINDOW).map(inverse)),
    new Float32Array(NOISE_WINDOW ** 2),
  ])
}

function inRows(n: number, planes: readonly Float32Array[]): Float32Array {
  const stride = n + 4
  const rows = new Float32Array(planes.length * n * stride)
  planes.forEach((plane, p) => {
    for (let y = 0; y < n; y++) {
      for (let x = 0; x < stride; x++) rows[(p * n + y) * stride + x] = plane[y * n + (x % n)]
    }
  })
  return rows
}
