import { deltaE2000 } from '../../colour/deltaE2000.js'
import type { ChartReading } from './Reading.js'

type Lab = readonly [number, number, number]

/** A chart's errors in the measures that the guidelines use. */
export interface Errors {
  mean: number
  ninetieth: number
  max: number
  /** CIEDE2000 with the weight of lightness S_L = 1. */
  meanSl1: number
  maxSl1: number
  /** CIE 1976 difference. */
  mean76: number
  max76: number
  /** Largest of the greys: in lightness, and in a*b*. */
  greysL: number
  greysAb: number
}

/** A published imaging guideline's levels for one quality, best first; the text of a level says what it asks. */
export interface Guideline {
  name: string
  quality: string
  source: string
  /** True where the values were not read in the guideline itself. */
  secondary: boolean
  levels: readonly { level: string; asks: string; holds(errors: Errors): boolean }[]
}

const FADGI_2016 =
  'FADGI, Technical Guidelines for Digitizing Cultural Heritage Materials, September 2016, table Paintings and Other Two-Dimensional Art (Other Than Prints) (provisional)'
const FADGI_2023 = 'FADGI, third edition, May 2023, as summarised in two third-party tables'
const ISO_19264 = 'ISO 19264-1:2021, from a third-party comparison table; that it uses S_L = 1: from memory'
const METAMORFOZE_1 =
  'Metamorfoze Preservation Imaging Guidelines, Image Quality, version 1.0, January 2012, sections 1.2 and 2.4-2.21'
const METAMORFOZE_2 =
  "Metamorfoze Preservation Imaging Guidelines 2.0, April 2025, from its author's draft and a summary with section references"

const stars = (
  of: (errors: Errors) => number,
  bounds: readonly number[],
  what: string,
): Guideline['levels'] =>
  bounds.map((bound, k) => ({
    level: `${4 - k} star`,
    asks: `${what} < ${bound}`,
    holds: (errors) => of(errors) < bound,
  }))

const within = (
  of: (errors: Errors) => readonly [number, number],
  bounds: readonly (readonly [level: string, mean: number, max: number])[],
  unit: string,
): Guideline['levels'] =>
  bounds.map(([level, mean, max]) => ({
    level,
    asks: `mean ${unit} <= ${mean}, max <= ${max}`,
    holds: (errors) => of(errors)[0] <= mean && of(errors)[1] <= max,
  }))

const atMost = (
  of: (errors: Errors) => number,
  bounds: readonly (readonly [level: string, bound: number])[],
  what: string,
): Guideline['levels'] =>
  bounds.map(([level, bound]) => ({
    level,
    asks: `${what} <= ${bound}`,
    holds: (errors) => of(errors) <= bound,
  }))

const MEANS_2023 = [2, 3.5, 5, 6.5]
const NINETIETHS_2023 = [4, 7, 10, 13]

/** Levels of colour accuracy, tone and white balance, as far as their values are known. */
export const GUIDELINES: readonly Guideline[] = [
  {
    ...{ name: 'FADGI 2016, paintings and 2D art', quality: 'colour', source: FADGI_2016, secondary: false },
    levels: stars(({ mean }) => mean, [2, 4, 6, 10], 'mean dE2000'),
  },
  {
    ...{ name: 'FADGI 2023', quality: 'colour', source: FADGI_2023, secondary: true },
    levels: MEANS_2023.map((mean, k) => ({
      level: `${4 - k} star`,
      asks: `mean dE2000 < ${mean}, 90th percentile < ${NINETIETHS_2023[k]}`,
      holds: (errors) => errors.mean < mean && errors.ninetieth < NINETIETHS_2023[k],
    })),
  },
  {
    ...{ name: 'ISO 19264-1:2021', quality: 'colour', source: ISO_19264, secondary: true },
    levels: within(
      ({ meanSl1, maxSl1 }) => [meanSl1, maxSl1],
      [
        ['Level A', 4, 10],
        ['Level B and C', 5, 15],
      ],
      'dE2000 (S_L = 1)',
    ),
  },
  {
    ...{ name: 'Metamorfoze 1.0 (2012)', quality: 'colour', source: METAMORFOZE_1, secondary: false },
    levels: within(
      ({ mean76, max76 }) => [mean76, max76],
      [
        ['Full', 4, 10],
        ['Light', 5, 18],
      ],
      'dE1976',
    ),
  },
  {
    ...{ name: 'Metamorfoze 2.0 (2025)', quality: 'colour', source: METAMORFOZE_2, secondary: true },
    levels: within(
      ({ meanSl1, maxSl1 }) => [meanSl1, maxSl1],
      [
        ['Full', 3, 7],
        ['Light', 4, 14],
      ],
      'dE2000 (S_L = 1)',
    ),
  },
  {
    ...{ name: 'FADGI 2023', quality: 'tone', source: FADGI_2023, secondary: true },
    levels: stars(({ greysL }) => greysL, [1.5, 3, 4.5, 6], 'greys dL*'),
  },
  {
    ...{ name: 'ISO 19264-1:2021', quality: 'tone', source: ISO_19264, secondary: true },
    levels: atMost(
      ({ greysL }) => greysL,
      [
        ['Level A', 2],
        ['Level B', 3],
        ['Level C', 4],
      ],
      'greys dL*',
    ),
  },
  {
    ...{ name: 'FADGI 2023', quality: 'white balance', source: FADGI_2023, secondary: true },
    levels: stars(({ greysAb }) => greysAb, [2, 4, 6, 8], 'greys dE(a*b*)'),
  },
  {
    ...{ name: 'ISO 19264-1:2021', quality: 'white balance', source: ISO_19264, secondary: true },
    levels: atMost(
      ({ greysAb }) => greysAb,
      [
        ['Level A', 3],
        ['Level B', 4],
        ['Level C', 5],
      ],
      'greys dE(a*b*)',
    ),
  },
]

/** The best level of a guideline that errors reach; undefined for none. */
export const levelReached = ({ levels }: Guideline, errors: Errors) =>
  levels.find(({ holds }) => holds(errors))

/** A reading's errors after the fit, in every measure the guidelines use. */
export function errorsOf({ patches, greys }: Pick<ChartReading, 'patches' | 'greys'>): Errors {
  const pairs = patches.map(({ afterLabD50, referenceLabD50 }) => [afterLabD50, referenceLabD50] as const)
  const all = pairs.map(([one, two]) => deltaE2000([...one], [...two]))
  const sl1 = pairs.map(([one, two]) => withoutLightnessWeight(one, two))
  const plain = pairs.map(([one, two]) => Math.hypot(...one.map((v, c) => v - two[c])))
  const grey = greys.map((k) => pairs[k].map(([l, a, b]) => ({ l, a, b })))
  return {
    mean: mean(all),
    ninetieth: percentile(all, 0.9),
    max: Math.max(...all),
    meanSl1: mean(sl1),
    maxSl1: Math.max(...sl1),
    mean76: mean(plain),
    max76: Math.max(...plain),
    greysL: Math.max(...grey.map(([one, two]) => Math.abs(one.l - two.l))),
    greysAb: Math.max(...grey.map(([one, two]) => Math.hypot(one.a - two.a, one.b - two.b))),
  }
}

/** CIEDE2000 with S_L = 1: lightness enters the sum of squares alone, so that its share can be exchanged. */
function withoutLightnessWeight(one: Lab, two: Lab): number {
  const off = ((one[0] + two[0]) / 2 - 50) ** 2
  const weight = 1 + (0.015 * off) / Math.sqrt(20 + off)
  const light = one[0] - two[0]
  return Math.sqrt(Math.max(0, deltaE2000([...one], [...two]) ** 2 - (light / weight) ** 2 + light ** 2))
}

const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length

/** Linear between the two nearest of the sorted values. */
export function percentile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b)
  const at = share * (sorted.length - 1)
  const low = Math.floor(at)
  const high = Math.ceil(at)
  return sorted[low] + (sorted[high] - sorted[low]) * (at - low)
}
