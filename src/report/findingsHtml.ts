import type { Finding, Picture8 } from '../findings.js'
import { formatNumber } from './formatNumber.js'
import { type Html, html } from './html.js'
import { numbersTable } from './numbersTable.js'
import { plotSvg } from './plotSvg.js'
import { sentence } from './sentence.js'

type Kind<K extends Finding['kind']> = Extract<Finding, { kind: K }>
const only = <K extends Finding['kind']>(findings: readonly Finding[], kind: K) =>
  findings.filter((finding): finding is Kind<K> => finding.kind === kind)

/**
 * Findings of one step or output: what it says and its numbers on one side, what it shows on the other.
 * @param first shown before the findings' own pictures
 */
export async function findingsHtml(
  findings: readonly Finding[],
  encode: (picture: Picture8) => Promise<string>,
  first?: Html,
): Promise<Html> {
  const statements = only(findings, 'statement')
  const warnings = only(findings, 'warning')
  const numbers = only(findings, 'number')
  const tables = only(findings, 'table')
  const plots = only(findings, 'plot')
  const pictures: Html[] = first ? [first] : []
  for (const { title, caption, picture } of only(findings, 'picture')) {
    pictures.push(
      html`<figure><img src="${await encode(picture)}" width="${picture.width}" height="${picture.height}" alt="${title}"><figcaption><b>${title}.</b> ${sentence(caption)}</figcaption></figure>`,
    )
  }
  return html`<div class="findings"><div class="said">
${warnings.length > 0 && html`<ul class="warnings">${warnings.map(({ text }) => html`<li>${sentence(text)}</li>`)}</ul>`}
${statements.length > 0 && html`<ul class="statements">${statements.map(({ text }) => html`<li>${sentence(text)}</li>`)}</ul>`}
${numbers.length > 0 && numbersTable(numbers)}
${tables.map(tableHtml)}
</div>${(pictures.length > 0 || plots.length > 0) && html`<div class="shown">${pictures}${plots.map(plotSvg)}</div>`}</div>`
}

/** Tables longer than this are folded away until asked for. */
const LONG_ROWS = 8

function tableHtml({ title, columns, rows }: Kind<'table'>): Html {
  const cell = (value: string | number) =>
    typeof value === 'number' ? html`<td class="value">${formatNumber(value)}</td>` : html`<td>${value}</td>`
  const numeric = columns.map((_, i) => rows.length > 0 && rows.every((row) => typeof row[i] === 'number'))
  const head = columns.map(
    (name, i) => html`<th scope="col"${numeric[i] && html` class="value"`}>${name}</th>`,
  )
  return html`<details${rows.length <= LONG_ROWS && html` open`}><summary>${title}</summary><div class="wide"><table class="data"><thead><tr>${head}</tr></thead>
<tbody>${rows.map((row) => html`<tr>${row.map(cell)}</tr>`)}</tbody></table></div></details>`
}
