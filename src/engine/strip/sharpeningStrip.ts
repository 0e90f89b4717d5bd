import { RequestError } from '../../errors.js'
import type { Finding } from '../../findings.js'
import { OUTPUTS } from '../../outputs/registry.js'
import { settable } from '../../outputs/shared/typeface.js'
import { type Steps, stripValues } from '../../outputs/strip/stripValues.js'
import type { Pipeline } from '../../pipeline/Pipeline.js'
import { nearest } from '../../pipeline/text/nearest.js'
import type { StripSubject } from './StripSubject.js'

const USUAL: Steps = { from: 0.8, to: 1, steps: 5 }

type Wish = 'none' | { target: number }

/**
 * `strip --of sharpening`: an output without sharpening and at several target acutances.
 * @param wanted the output's name; the first one where left out
 * @throws RequestError where the pipeline has no such output
 */
export function sharpeningStrip(
  pipeline: Pipeline,
  wanted: string | undefined,
  asked: Partial<Steps>,
): StripSubject {
  const { kind, name, params } = outputOf(pipeline, wanted)
  const output = OUTPUTS.get(kind)!
  const derivation = output.derivation!
  const now = (params as { sharpening: Wish }).sharpening
  // What was asked wrongly is said now, before any pixel is read.
  stripValues(asked, USUAL, 0.5, 1)
  return {
    name: `sharpening-${name}`,
    derived(master) {
      const usual = usualTargets(
        acutanceOf(output.plan({ ...(params as object), sharpening: 'none' }, master).findings),
        acutanceOf(output.plan({ ...(params as object), sharpening: { target: USUAL.to } }, master).findings),
      )
      // Ends that would cross because only one was asked for are what was usual.
      const from = asked.to !== undefined && asked.to <= usual.from ? USUAL.from : usual.from
      const to = asked.from !== undefined && asked.from >= usual.to ? USUAL.to : usual.to
      const targets = stripValues(
        asked,
        { from, to, steps: USUAL.steps },
        ...([0.5, 1] as const),
        now === 'none' ? undefined : now.target,
      )
      const wishes: Wish[] = ['none', ...targets.map((target) => ({ target }))]
      const made = wishes.map((sharpening) => {
        const changed = { ...(params as object), sharpening }
        return { derivation: derivation(changed, master), plan: output.plan(changed, master) }
      })
      const [{ plan, derivation: first }] = made
      const { ppi } = plan.files[0]
      const viewing =
        /seen from \d+ mm/.exec(statements(plan.findings))?.[0] ?? 'seen from where it is looked at'
      return {
        content: {
          title: `${settable(pipeline.title)}: sharpening of ${settable(name)}`,
          lead: [
            `Sharpness of ${settable(name)}, ${viewing}: the acutance asked for, and what is reached within 10 % of overshoot. Print it at`,
            `100 % on the paper it is meant for, look at it from there, and copy the line of a row into the output ${settable(name)}.`,
          ],
          rows: made.map((one, i) => ({
            label: wordsOf(wishes[i]),
            notes: [
              ...reached(one.plan.findings),
              ...(wordsOf(wishes[i]) === wordsOf(now) ? ['in the pipeline now'] : []),
            ],
            line: `sharpening: ${lineOf(wishes[i])}`,
          })),
        },
        derivation: first,
        ppi,
        sharpenings: made.map((one) => one.derivation.sharpening),
      }
    },
  }
}

/** Rows beyond what the output has without sharpening, and beyond what it can have, would all be alike. */
function usualTargets(without: number, most: number): { from: number; to: number } {
  const from = Math.min(0.95, Math.max(USUAL.from, Math.ceil(without * 40) / 40))
  return { from, to: Math.max(from + 0.02, Math.min(USUAL.to, Math.ceil(most * 100 - 1e-6) / 100)) }
}

function acutanceOf(findings: readonly Finding[]): number {
  const found = findings.find((finding) => finding.kind === 'number' && finding.name === 'acutance')
  return found?.kind === 'number' ? found.value : Number.NaN
}

const wordsOf = (wish: Wish) => (wish === 'none' ? 'none' : String(wish.target))
const lineOf = (wish: Wish) => (wish === 'none' ? 'none' : `{ target: ${wish.target} }`)
const statements = (findings: readonly Finding[]) =>
  findings.map((finding) => (finding.kind === 'statement' ? finding.text : '')).join('\n')

/** What the eye gets of it, and whether a limit stopped it: rows can look alike. */
function reached(findings: readonly Finding[]): string[] {
  const acutance = acutanceOf(findings)
  const text = statements(findings)
  return [
    `reaches ${acutance.toFixed(2)}`,
    ...(text.includes('stopped at the overshoot limit') ? ['stopped by overshoot'] : []),
    ...(text.includes('sharper than the target already') ? ['left as it is'] : []),
  ]
}

function outputOf({ file, outputs: all }: Pipeline, wanted: string | undefined): Pipeline['outputs'][number] {
  const outputs = all.filter(({ kind }) => OUTPUTS.get(kind)!.derivation)
  const names = outputs.map(({ name }) => name)
  const found = wanted === undefined ? outputs[0] : outputs.find(({ name }) => name === wanted)
  if (found) return found
  const near = wanted && nearest(wanted, names)
  throw new RequestError(
    names.length === 0
      ? {
          where: file,
          what: 'there is no output whose sharpening could be shown',
          todo: 'Add one under outputs, such as - print: { sheet: A3+ }',
        }
      : {
          where: `--output ${wanted}`,
          what: 'the pipeline has no such output',
          expected: `one of ${names.join(', ')}`,
          todo: near ? `Nearest spelling: ${near}` : undefined,
        },
  )
}
