import type { Step } from '../contract.js'
import { hueFindings } from './hueFindings.js'
import { type Params, paramsSchema } from './params.js'
import { type Reading, readHue } from './readHue.js'
import { rules } from './rules.js'
import { shiftedSource } from './shiftedSource.js'

/** Shifts hue, chroma and lightness around chosen hues and leaves the others and all neutrals as they are. */
export const hue: Step<Params, Reading> = {
  name: 'hue',
  summary: 'shifts hue, chroma and lightness around chosen hues; neutrals and other hues stay as they are',
  scope: 'picture',
  effort: { read: 0.5, apply: 0.016 },
  params: paramsSchema,
  read: ([source], params, context) => readHue(source, params, context),
  apply([source], _reading, params) {
    const effective = rules(params)
    return [effective.length ? shiftedSource(source, effective) : source]
  },
  findings: hueFindings,
}
