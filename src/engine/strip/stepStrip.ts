import { RequestError } from '../../errors.js'
import { settable, widthInEm } from '../../outputs/shared/typeface.js'
import { type Steps, stripValues } from '../../outputs/strip/stripValues.js'
import type { Pipeline } from '../../pipeline/Pipeline.js'
import type { Entry } from '../../steps/hue/params.js'
import { middleDegrees } from '../../steps/hue/rules.js'
import { ranksOfHue } from './choosePlaces.js'
import type { StripSubject } from './StripSubject.js'

/** What fits below the crops of an A4 sheet. */
const LONGEST_EM = 70

/** A value as it is written: no more digits than it has, a plus only where both signs make sense. */
const written = (value: number, signed: boolean) => `${signed && value > 0 ? '+' : ''}${value}`

/**
 * `strip --of texture`: share of the relief taken away.
 * @throws RequestError where the pipeline has no such step
 */
export function textureStrip(pipeline: Pipeline, asked: Partial<Steps>): StripSubject {
  const name = 'paper-texture'
  const params = paramsOf(pipeline, name, 'texture', `- ${name}`) as { strength: number }
  const values = stripValues(asked, { from: 0, to: 1, steps: 5 }, 0, 1, params.strength)
  return {
    name: 'texture',
    content: {
      title: `${settable(pipeline.title)}: paper texture`,
      lead: [
        'How much of the relief is taken away, from nothing to all of it. Choose the strongest row that still keeps every',
        'pencil line and the grain of the paint; the lines are copied into the pipeline, under steps.',
      ],
      rows: values.map((strength) => ({
        label: written(strength, false),
        notes: now(strength === params.strength),
        line: `- ${name}: { strength: ${strength} }`,
      })),
    },
    stages: (row, stages) =>
      stages.map((stage) =>
        stage.name === name ? { ...stage, params: { ...params, strength: values[row] } } : stage,
      ),
  }
}

/**
 * `strip --of hue`: the turn of the first entry of `hue`.
 * @throws RequestError where the pipeline has no such step or entry
 */
export function hueStrip(pipeline: Pipeline, asked: Partial<Steps>): StripSubject {
  const entry = '- hue: [ { around: blue } ]'
  const entries = paramsOf(pipeline, 'hue', 'hue', entry) as Entry[]
  if (entries.length === 0) {
    throw new RequestError({
      where: pipeline.file,
      what: 'hue has no entry to make a strip of',
      todo: `Write one, such as ${entry}`,
    })
  }
  const [first, ...others] = entries
  const values = stripValues(asked, { from: -12, to: 12, steps: 7 }, -180, 180, first.shift)
  const shifted = (shift: number) => ({ ...first, shift })
  const around = typeof first.around === 'number' ? `${first.around} degrees` : first.around
  return {
    name: 'hue',
    ranks: ranksOfHue(middleDegrees(first)),
    content: {
      title: `${settable(pipeline.title)}: hues around ${around}`,
      lead: [
        `By how many degrees hues around ${around} are turned; positive from red towards yellow. Print it with the profile of`,
        'the print, beside the original and in its light, choose a row, and copy its line into the pipeline, under steps.',
      ],
      rows: values.map((shift) => ({
        label: `${written(shift, true)}°`,
        notes: now(shift === first.shift),
        line: hueLine([shifted(shift), ...others]),
      })),
    },
    stages: (row, stages) =>
      stages.map((stage) =>
        stage.name === 'hue' ? { ...stage, params: [shifted(values[row]), ...others] } : stage,
      ),
  }
}

/** The whole entry; where that is too long for the sheet, what changes in it. */
function hueLine(entries: Entry[]): string {
  const line = `- hue: [ ${entries.map(entryText).join(', ')} ]`
  return widthInEm(line) <= LONGEST_EM ? line : `shift: ${entries[0].shift}   (in the first entry of hue)`
}

const entryText = ({ around, width, shift, chroma, lightness }: Entry) =>
  `{ around: ${around}, width: ${width}, shift: ${shift}, chroma: ${Number((chroma * 100).toFixed(3))}%, lightness: ${lightness} }`

const now = (isNow: boolean) => (isNow ? ['in the pipeline now'] : [])

function paramsOf(pipeline: Pipeline, name: string, of: string, example: string): unknown {
  const step = pipeline.steps.find((one) => one.name === name)
  if (!step) {
    throw new RequestError({
      where: pipeline.file,
      what: `there is no step ${name} to make a strip of`,
      expected: `${name} under steps, for --of ${of}`,
      found: pipeline.steps.map((one) => one.name).join(', ') || 'no steps',
      todo: `Add ${example}`,
    })
  }
  return step.params
}
