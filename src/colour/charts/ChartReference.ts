import type { ChartLayout } from './ChartLayout.js'

/** What a chart's patches are in truth. */
export interface ChartReference {
  /** How the pipeline file calls it: `chart24-2014`, or a file's name. */
  name: string
  description: string
  source: string
  layout: ChartLayout
  /** One CIELAB triple (D50, 2 degrees) a patch, in patch order. */
  labD50: readonly (readonly [number, number, number])[]
}
