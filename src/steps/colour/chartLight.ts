import { CHART24_COLUMNS, CHART24_ROWS } from '../../colour/charts/chart24.js'
import type { Triple } from './fit/Fit.js'
import type { PatchSample } from './samplePatch.js'

/** How the light runs over the chart: its relative change from one patch to the next, to the right and down. */
export interface ChartLight {
  right: number
  down: number
}

/** Patches darker than this say little of the light: flare and noise are as large. */
const DARK = 0.02

/**
 * The light over the chart, from the slope inside the patches: each is one even colour, so that what changes within it
 * is the light. The median over the patches, so that a glossy or covered one does not count.
 */
export function chartLight(samples: readonly PatchSample[]): ChartLight {
  const bright = samples.filter(({ linear }) => linear[1] > DARK)
  return {
    right: median(bright.map(({ slope }) => slope[0])),
    down: median(bright.map(({ slope }) => slope[1])),
  }
}

/** Largest change of the light across the patches, percent. */
export function unevenPercent({ right, down }: ChartLight): number {
  return 100 * (Math.abs(right) * (CHART24_COLUMNS - 1) + Math.abs(down) * (CHART24_ROWS - 1))
}

/** A patch's colour as it were in the light at the chart's middle. */
export function inMiddleLight(linear: Readonly<Triple>, index: number, { right, down }: ChartLight): Triple {
  const column = (index % CHART24_COLUMNS) - (CHART24_COLUMNS - 1) / 2
  const row = Math.floor(index / CHART24_COLUMNS) - (CHART24_ROWS - 1) / 2
  const light = Math.exp(right * column + down * row)
  return linear.map((v) => v / light) as Triple
}

function median(values: readonly number[]): number {
  if (values.length === 0) return 0
  const sorted = [...values].sort((a, b) => a - b)
  return (sorted[(sorted.length - 1) >> 1] + sorted[sorted.length >> 1]) / 2
}
