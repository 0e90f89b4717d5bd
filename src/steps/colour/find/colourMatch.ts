import { solveLinear } from '../../shared/solveLinear.js'

type Triple = readonly [number, number, number]

/** How many patches may be wrong (covered, glossy, clipped) without spoiling the match: 2 of 24, and as large a share. */
const SPARED_SHARE = 1 / 12

/**
 * How well measured colours fit a chart's, whatever the camera and lamp: the root mean square distance in CIELAB
 * units after the best affine map from the measured channels' lightness to CIELAB, the worst twelfth of the patches left out.
 * @param seen measured channels on the lightness scale 0..100
 * @returns Infinity where the lightness does not run with the reference's, or the colours do not fix a map
 */
export function colourMatch(seen: readonly Triple[], labD50: readonly Triple[]): number {
  if (lightnessCorrelation(seen, labD50) < 0.6) return Number.POSITIVE_INFINITY
  let kept = seen.map((_, k) => k)
  const drop = [Math.floor(seen.length * SPARED_SHARE), 0]
  for (const spare of drop) {
    const errors = affineErrors(seen, labD50, kept)
    if (!errors) return Number.POSITIVE_INFINITY
    kept = kept
      .map((k, n) => ({ k, e: errors[n] }))
      .sort((a, b) => a.e - b.e)
      .slice(0, kept.length - spare)
      .map(({ k }) => k)
    if (spare === 0) return Math.sqrt(errors.reduce((sum, e) => sum + e, 0) / errors.length)
  }
  return Number.POSITIVE_INFINITY
}

/** Squared distances of the kept patches after the affine map that fits them best. */
function affineErrors(
  seen: readonly Triple[],
  labD50: readonly Triple[],
  kept: readonly number[],
): number[] | undefined {
  const normal = new Float64Array(16)
  const right = new Float64Array(12)
  for (const k of kept) {
    const row = [...seen[k], 1]
    for (let i = 0; i < 4; i++) {
      for (let j = 0; j < 4; j++) normal[i * 4 + j] += row[i] * row[j]
      for (let c = 0; c < 3; c++) right[i * 3 + c] += row[i] * labD50[k][c]
    }
  }
  // A trace of ridge: an even picture (all colours alike) must not count as singular noise.
  for (let i = 0; i < 3; i++) normal[i * 5] += 1e-3 * kept.length
  const map = solveLinear(normal, right, 3)
  return (
    map &&
    kept.map((k) => {
      const row = [...seen[k], 1]
      return labD50[k].reduce((sum, target, c) => {
        const value = row.reduce((total, v, i) => total + v * map[i * 3 + c], 0)
        return sum + (value - target) ** 2
      }, 0)
    })
  )
}

function lightnessCorrelation(seen: readonly Triple[], labD50: readonly Triple[]): number {
  const a = seen.map(([r, g, b]) => (r + 2 * g + b) / 4)
  const b = labD50.map(([l]) => l)
  const ma = a.reduce((s, v) => s + v, 0) / a.length
  const mb = b.reduce((s, v) => s + v, 0) / b.length
  let [ab, aa, bb] = [0, 0, 0]
  a.forEach((v, k) => {
    ab += (v - ma) * (b[k] - mb)
    aa += (v - ma) ** 2
    bb += (b[k] - mb) ** 2
  })
  return aa * bb > 0 ? ab / Math.sqrt(aa * bb) : 0
}
