import type { Finding, Picture8 } from '../findings.js'
import type { RunRecord } from '../runRecord.js'

/** The same place of the picture as two states show it. `difference` is after minus before, amplified about mid grey. */
export interface Comparison {
  title: string
  /** Where on the sheet, and at what scale: "at 100 %, 412 mm from the left …" */
  caption: string
  before: Picture8
  after: Picture8
  difference?: { picture: Picture8; amplified: number }
}

/** All that the report shows. It renders these generically and is never edited for a new step or output. */
export interface ReportInput {
  record: RunRecord
  title: string
  /** Whole picture at fit, captures against master. */
  fit: Comparison
  /** Telling places at 100 %, captures against master. */
  details: Comparison[]
  /** In the order they ran. `comparisons`: the same places before and after this step alone. */
  steps: { name: string; summary: string; findings: Finding[]; comparisons: Comparison[] }[]
  outputs: {
    kind: string
    name: string
    summary: string
    findings: Finding[]
    ticket: string[]
    preview?: { caption: string; picture: Picture8 }
  }[]
  /** The usual cautions, printed in the report and the ticket. */
  cautions: string[]
}
