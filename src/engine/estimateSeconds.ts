import type { Pipeline } from '../pipeline/Pipeline.js'
import { STEPS } from '../steps/registry.js'

/** What a run moves, in megapixels. */
export interface Work {
  captures: readonly { megapixels: number; raw: boolean }[]
  master: number
  outputs: readonly number[]
  report: boolean
  threads: number
}

/**
 * Seconds on one ordinary core, measured on 70-megapixel scans and on the demo (see `npm run bench -- run`, which holds
 * the estimate against the run). Fixed ones: starting, comparing for the report. The rest a megapixel.
 */
const SECONDS = {
  start: 0.6,
  comparisons: 1,
  /** From disk to memory: plain files, and camera raw files. */
  open: 0.01,
  openRaw: 0.18,
  /** Each tile: numbers to light, light to numbers. */
  decodeAndEncode: 0.02,
  writeMaster: 0.02,
  /** An output: its own pixels, and the master's that it is made from. */
  output: 0.015,
  outputFromMaster: 0.005,
}

/** A step that does not say what it costs. */
const USUAL = { read: 1, readACapture: 0, apply: 0.05 }

/** About how long a run takes. Pictures that are read once are opened by one thread; tiles are shared out. */
export function estimateSeconds(
  { steps }: Pick<Pipeline, 'steps'>,
  { captures, master, outputs, report, threads }: Work,
): number {
  const efforts = steps.map(({ name }) => ({ ...USUAL, ...STEPS.get(name)?.effort }))
  const opening = captures.reduce(
    (sum, { megapixels, raw }) => sum + megapixels * (raw ? SECONDS.openRaw : SECONDS.open),
    0,
  )
  const readings = efforts.reduce(
    (sum, { read, readACapture }) => sum + read + readACapture * captures.length,
    0,
  )
  const tiles = master * efforts.reduce((sum, { apply }) => sum + apply, SECONDS.decodeAndEncode)
  const derivatives = outputs.reduce(
    (sum, megapixels) => sum + megapixels * SECONDS.output + master * SECONDS.outputFromMaster,
    0,
  )
  return (
    SECONDS.start +
    opening +
    readings +
    (report ? SECONDS.comparisons : 0) +
    (tiles + derivatives) / threads +
    master * SECONDS.writeMaster
  )
}
