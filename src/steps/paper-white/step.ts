import type { Step } from '../contract.js'
import { paperFindings } from './paperFindings.js'
import { type Params, paramsSchema } from './params.js'
import type { PaperReading } from './Reading.js'
import { readPaper } from './readPaper.js'
import { withPaperWhite } from './withPaperWhite.js'

/** Brings unpainted paper to white, with a soft transition to the paint. */
export const paperWhite: Step<Params, PaperReading> = {
  name: 'paper-white',
  summary: 'brings unpainted paper to paper white, with no visible border to the paint',
  scope: 'picture',
  effort: { read: 0.9, apply: 0.025 },
  params: paramsSchema,
  read: ([source], params, context) => readPaper(source, params, context),
  apply: ([source], reading) => [withPaperWhite(source, reading)],
  findings: (reading) => paperFindings(reading),
}
