import type { Measurement } from '../runRecord.js'

/** What a run tells while it works; the commands turn these into a display, plain lines or JSON lines. */
export type RunEvent =
  /** A stage began or moved on. `share` is 0..1 of this stage; `overall` 0..1 of the whole run. */
  | { event: 'progress'; stage: string; share: number; overall: number }
  | { event: 'statement'; step: string; text: string }
  | { event: 'warning'; step: string; text: string }
  | ({ event: 'measurement' } & Measurement)
  | { event: 'written'; kind: string; name: string; path: string }
  | { event: 'done'; folder: string; report: string | null; seconds: number; peakMemoryBytes: number }
