/** A pipeline as resolved: every default filled in, every path absolute, every glob expanded. */
export interface Pipeline {
  /** Absolute path of the pipeline file. */
  file: string
  title: string
  credit: { creator: string; rights: string; contact: string; description?: string }
  captures: {
    kind: 'flatbed' | 'camera'
    files: { path: string; label: string; turned: 0 | 90 | 180 | 270 }[]
    ppi?: number
    /** Absolute path of a profile, `none` for linear numbers, undefined for what is embedded. */
    profile?: string
    sizeMm?: { width?: number; height?: number }
  }
  steps: { name: string; params: unknown }[]
  master: { space: import('../colour/spaces/SpaceName.js').SpaceName | 'auto'; depth: 16; file: string }
  outputs: { kind: string; name: string; params: unknown }[]
  report: boolean
  /** Where a key stands in the text, for errors found later: `keyAt('steps.1.colour.chart')`. */
  keyAt(path: string): string
}

export { type LoadOptions, loadPipeline } from './loadPipeline.js'
