import { solveLinear } from '../../shared/solveLinear.js'
import type { ChartColours } from './ChartColours.js'
import type { Field, Fit, Triple } from './Fit.js'
import { fieldOf, shareOf } from './fieldOf.js'
import { workingOfLab } from './labOfWorking.js'
import type { Straightened } from './straighten.js'
import { corrected } from './terms.js'

/** Fewer patches than this say too little of what is between them. */
export const FIELD_PATCHES = 100

/** Nodes a side. */
const SIZE = 25

/** How far what one patch tells reaches, in shares of the channels' sum: about twice the distance between patches. */
const REACH = 0.1

/** What is left at a patch is known to so much lightness (noise, dirt, gloss), L*. */
const KNOWN_L = 1

/** Colours darker than this share of white are known as badly as this. */
const DARKEST = 0.01

/**
 * What a fit leaves, as a smooth field over the colours' shares, whatever their exposure: the mean of a Gaussian process
 * with a bell-shaped covariance, each patch known as well as its lightness allows, and nothing left at neutral.
 * Source: Rasmussen & Williams 2006, Gaussian Processes for Machine Learning, ISBN 026218253X, equation 2.23.
 */
export function fitField(
  fit: Fit,
  { labD50 }: Pick<ChartColours, 'labD50'>,
  { evened, lights }: Straightened,
  used: readonly number[],
): Field {
  const places = used.map((k) => shareOf(lights[k]))
  const left = used.map((k, i) => {
    const target = workingOfLab(labD50[k])
    return corrected(fit, evened[k]).map((v, c) => (target[c] - v) / places[i].sum) as Triple
  })
  // dY / dL* = 3 / 116 Y^(2/3) (CIE 15:2018, L*).
  const noise = used.map((k, i) => {
    const y = Math.max(DARKEST, workingOfLab(labD50[k])[1])
    return ((KNOWN_L * 3 * y ** (2 / 3)) / 116 / places[i].sum) ** 2
  })
  const square =
    left.reduce((sum, values) => sum + values.reduce((s, v) => s + v * v, 0) / 3, 0) / left.length
  const strength = Math.max(1e-8, square)
  const neutral = { x: 1 / 3, y: 1 / 3 }
  const points = [...places, neutral]
  const like = (a: { x: number; y: number }, b: { x: number; y: number }) =>
    strength * Math.exp(-((a.x - b.x) ** 2 + (a.y - b.y) ** 2) / (2 * REACH ** 2))
  const n = points.length
  const matrix = Float64Array.from({ length: n * n }, (_, i) => {
    const [row, column] = [Math.floor(i / n), i % n]
    const own = row === column ? (noise[row] ?? 1e-9 * strength) : 0
    return like(points[row], points[column]) + own
  })
  const right = Float64Array.from([...left, [0, 0, 0]].flat())
  const weights = solveLinear(matrix, right, 3) ?? new Float64Array(3 * n)
  const nodes = Array.from({ length: SIZE * SIZE }, (_, k) => {
    const at = { x: (k % SIZE) / (SIZE - 1), y: Math.floor(k / SIZE) / (SIZE - 1) }
    const likeness = points.map((point) => like(at, point))
    return [0, 1, 2].map((c) => likeness.reduce((sum, v, i) => sum + v * weights[3 * i + c], 0))
  })
  return withoutNeutral({ size: SIZE, nodes: nodes.flat() })
}

/** The nodes around neutral put right, so that between them nothing at all is added to greys. */
function withoutNeutral(field: Field): Field {
  const { size } = field
  const off = fieldOf(field, [1, 1, 1]).map((v) => v / 3)
  const at = Math.floor((size - 1) / 3)
  const nodes = [...field.nodes]
  for (const j of [at, at + 1]) {
    for (const i of [at, at + 1]) {
      for (let c = 0; c < 3; c++) nodes[3 * (j * size + i) + c] -= off[c]
    }
  }
  return { size, nodes }
}
