import { solveLinear } from '../shared/solveLinear.js'

/**
 * How the light runs over the chart: the logarithm of its share of the light at the chart's middle is
 * `a u + b v + c u² + d u v + e v²`, with u and v in patch distances from the middle, to the right and down.
 */
export type ChartLight = readonly [a: number, b: number, c: number, d: number, e: number]

export const EVEN_LIGHT: ChartLight = [0, 0, 0, 0, 0]

/** What one patch says of the light: it is one even colour, so that what changes within it is the light. */
export interface LightWitness {
  u: number
  v: number
  /** Relative change of the light over one patch distance. */
  right: number
  down: number
  /** 0..1: dark patches say little, flare and noise are as large as the light. */
  weight: number
}

/** Beyond this difference from the rest, as a relative change over one patch, a patch's word counts ever less. */
const ODD = 0.02

/** A surface of second order must explain the slopes this much better than one of first order to be believed. */
const WORTHWHILE = 0.8

/** The light over the chart from the slopes inside its patches; glossy and covered patches count little. */
export function chartLight(witnesses: readonly LightWitness[]): ChartLight {
  const plane = surface(witnesses, 2)
  if (witnesses.length < 10) return plane.light
  const bowl = surface(witnesses, 5)
  return bowl.error < WORTHWHILE * plane.error ? bowl.light : plane.light
}

/** The light at a place as a share of the light at the chart's middle. */
export function lightAt([a, b, c, d, e]: ChartLight, u: number, v: number): number {
  return Math.exp(a * u + b * v + c * u * u + d * u * v + e * v * v)
}

/** Largest difference of the light between two of the places, percent of the mean of the two. */
export function unevenPercent(light: ChartLight, places: readonly { u: number; v: number }[]): number {
  const values = places.map(({ u, v }) => lightAt(light, u, v))
  const [most, least] = [Math.max(...values), Math.min(...values)]
  return (200 * (most - least)) / (most + least)
}

/** Robust least squares by repeated weighting, and what is left of the slopes, weighted. */
function surface(witnesses: readonly LightWitness[], size: 2 | 5): { light: ChartLight; error: number } {
  const rows = witnesses.flatMap(({ u, v, right, down, weight }) => [
    { row: [1, 0, 2 * u, v, 0].slice(0, size), value: right, weight },
    { row: [0, 1, 0, u, 2 * v].slice(0, size), value: down, weight },
  ])
  let found: Float64Array = new Float64Array(size)
  const off = ({ row, value }: (typeof rows)[number]) =>
    value - row.reduce((sum, entry, k) => sum + entry * found[k], 0)
  for (let round = 0; round < 12; round++) {
    const normal = new Float64Array(size * size)
    const right = new Float64Array(size)
    for (const one of rows) {
      const trust = one.weight ** 2 / (1 + (round ? (off(one) / ODD) ** 2 : 0))
      for (let i = 0; i < size; i++) {
        for (let j = 0; j < size; j++) normal[i * size + j] += trust * one.row[i] * one.row[j]
        right[i] += trust * one.row[i] * one.value
      }
    }
    found = solveLinear(normal, right) ?? found
  }
  const [a = 0, b = 0, c = 0, d = 0, e = 0] = found
  const error = rows.reduce((sum, one) => sum + one.weight ** 2 * Math.log1p((off(one) / ODD) ** 2), 0)
  return { light: [a, b, c, d, e], error }
}
