/** The run record, `run.json`, format 1. Stable: other programs read it. Paths are relative to the output folder or the pipeline file. */
export interface RunRecord {
  record: 1
  tool: { name: string; version: string }
  /** ISO 8601, UTC. */
  started: string
  seconds: number
  threads: number
  /** The pipeline as resolved, with paths made relative to the pipeline file. */
  pipeline: unknown
  /** The captures, then the other files that were read. Sizes are null for what is no picture. */
  inputs: {
    /** `capture`, or the key that names it: `captures.profile`, `colour.chart`. */
    use: string
    path: string
    sha256: string
    width: number | null
    height: number | null
    ppi: number | null
    profile: string | null
    /** How it was captured, where its file says: device, lens, exposure, light, a camera's white balance. */
    conditions?: {
      device?: string
      lens?: string
      timeS?: number
      fNumber?: number
      iso?: number
      focalMm?: number
      light?: string
      whiteBalance?: { red: number; blue: number }
    }
  }[]
  readings: Record<string, unknown>
  measurements: Measurement[]
  outputs: OutputRecord[]
  timings: { stage: string; seconds: number }[]
  peakMemoryBytes: number
  warnings: { step: string; message: string }[]
}

export interface Measurement {
  step: string
  name: string
  value: number
  unit: string
  target?: string
  source?: string
  pass?: boolean
}

/** Sizes, space and depth are null for what is no picture. */
export interface OutputRecord {
  kind: string
  name: string
  path: string
  sha256: string
  width: number | null
  height: number | null
  ppi: number | null
  widthMm: number | null
  heightMm: number | null
  space: string | null
  depth: number | null
}
