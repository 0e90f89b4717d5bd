import type { Step } from '../contract.js'
import { reliefLeft } from './combine/reliefLeft.js'
import { joined } from './joined.js'
import { type Params, paramsSchema } from './params.js'
import type { StitchReading } from './Reading.js'
import { readStitch } from './readStitch.js'
import { stitchFindings } from './stitchFindings.js'
import { work } from './work.js'

/** Makes one sheet of all captures. */
export const stitch: Step<Params, StitchReading> = {
  name: 'stitch',
  summary: 'joins tiles and frames, in any order and layout, into one sheet',
  scope: 'join',
  effort: { read: 0.5, readACapture: 0.8, apply: 0.06 },
  params: paramsSchema,
  read: (sources, params, context) => readStitch(sources, params, context),
  work,
  apply: (sources, reading) => [joined(sources, reading)],
  findings: stitchFindings,
  ppi: (reading, ppi) => reading.ppi ?? ppi,
  reliefLeft: ({ combining }) => combining && reliefLeft(combining),
}
