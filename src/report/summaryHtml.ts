import { formatNumber } from './formatNumber.js'
import { type Html, html } from './html.js'
import type { ReportInput } from './ReportInput.js'
import { sentence } from './sentence.js'
import { counted, sizeMm, sizePx, valueWords } from './words.js'

/** The job in a few lines, for someone who sees it for the first time: from what, by what, into what, how well. */
export function summaryHtml(input: ReportInput): Html {
  const { steps, record } = input
  const done = steps.map(
    ({ name, summary }) => html`<li><a href="#step-${name}">${name}</a>: ${sentence(summary)}</li>`,
  )
  const made = record.outputs.map((output) =>
    output.width === null
      ? html`<li><code>${output.path}</code>: ${output.kind}</li>`
      : html`<li><code>${output.path}</code>: ${sizeMm(output)}, ${sizePx(output)}</li>`,
  )
  return html`<dl class="summary">
<dt>From</dt><dd>${fromWords(input)}</dd>
<dt>By</dt><dd>${steps.length > 0 ? html`<ol>${done}</ol>` : 'no step: the picture stays as it was captured.'}</dd>
<dt>Into</dt><dd><ul>${made}</ul></dd>
${measuredHtml(input)}
<dt>Next</dt><dd>Look at the picture below, at 100 % too; then print by <code>ticket.md</code>.</dd>
</dl>`
}

function fromWords({ record }: ReportInput): string {
  const captures = record.inputs.filter(({ use }) => use === 'capture')
  const others = record.inputs.filter(({ use }) => use !== 'capture')
  const pixels = captures.reduce((sum, { width, height }) => sum + (width ?? 0) * (height ?? 0), 0)
  const ppis = [...new Set(captures.flatMap(({ ppi }) => (ppi === null ? [] : [formatNumber(ppi)])))]
  const at = ppis.length > 0 ? ` at ${ppis.join(', ')} ppi` : ''
  const beside = others.length > 0 ? `; beside them ${others.map(({ path }) => path).join(', ')}` : ''
  return `${counted(captures.length, 'capture')}, ${formatNumber(pixels / 1e6)} megapixels${at}${beside}.`
}

/** How many of the stated targets were reached, and which were not. */
function measuredHtml({ record }: ReportInput): Html | false {
  const judged = record.measurements.filter(({ pass }) => pass !== undefined)
  const missed = judged.filter(({ pass }) => pass === false)
  if (judged.length === 0) return false
  const list = missed.map(
    (one) =>
      html`<li>${one.step}, ${one.name}: ${valueWords(one)}${one.target && `; target ${one.target}`}</li>`,
  )
  return html`<dt>Measured</dt><dd>${judged.length - missed.length} of ${counted(judged.length, 'stated target')} reached${missed.length > 0 ? html`; not reached:<ul>${list}</ul>` : '.'}</dd>`
}
