import type { Step } from '../contract.js'
import { defaultFilter } from './defaultFilter.js'
import { type Params, paramsSchema } from './params.js'
import type { ReliefReading } from './Reading.js'
import { readRelief } from './readRelief.js'
import { reliefFindings } from './reliefFindings.js'
import { reliefLeft } from './reliefLeft.js'
import { fromHalfPlane } from './spectrum.js'
import { withoutRelief } from './withoutRelief.js'

/** Takes the sheet's relief away and leaves the picture. */
export const paperTexture: Step<Params, ReliefReading> = {
  name: 'paper-texture',
  summary: 'takes away the relief of the sheet and leaves washes, edges, pencil and granulation',
  scope: 'picture',
  effort: { read: 1.4, apply: 0.33 },
  params: paramsSchema,
  auxiliaries: ({ reading }) => (reading ? [{ key: 'reading', path: reading, kind: 'text' }] : []),
  read: ([source], params, context) => readRelief(source, params, context),
  apply([source], reading, params) {
    if (!reading.textured || params.strength === 0) return [source]
    const relief = fromHalfPlane(reading.spectrum, reading.window)
    return [withoutRelief(source, defaultFilter(relief, reading.tint, reading.noise, reading.paper, params))]
  },
  findings: reliefFindings,
  reliefLeft,
}
