import type { Finding, Picture8 } from '../findings.js'
import { formatNumber } from './formatNumber.js'
import { type Html, html } from './html.js'
import { plotSvg } from './plotSvg.js'

type Kind<K extends Finding['kind']> = Extract<Finding, { kind: K }>
const only = <K extends Finding['kind']>(findings: readonly Finding[], kind: K) =>
  findings.filter((finding): finding is Kind<K> => finding.kind === kind)

/** Findings of one step or output: statements, numbers as one table, then tables, plots and pictures. */
export async function findingsHtml(
  findings: readonly Finding[],
  encode: (picture: Picture8) => Promise<string>,
): Promise<Html> {
  const statements = only(findings, 'statement')
  const warnings = only(findings, 'warning')
  const numbers = only(findings, 'number')
  const pictures = await Promise.all(
    only(findings, 'picture').map(
      async ({ title, caption, picture }) =>
        html`<figure><img src="${await encode(picture)}" width="${picture.width}" height="${picture.height}" alt="${title}"><figcaption><b>${title}.</b> ${caption}</figcaption></figure>`,
    ),
  )
  return html`
${warnings.length > 0 && html`<ul class="warnings">${warnings.map(({ text }) => html`<li>${text}</li>`)}</ul>`}
${statements.length > 0 && html`<ul class="statements">${statements.map(({ text }) => html`<li>${text}</li>`)}</ul>`}
${numbers.length > 0 && numbersTable(numbers)}
${only(findings, 'table').map(tableHtml)}
${only(findings, 'plot').map(plotSvg)}
${pictures.length > 0 && html`<div class="pictures">${pictures}</div>`}`
}

function numbersTable(numbers: Kind<'number'>[]): Html {
  const targets = numbers.some(({ target, source }) => target || source)
  const verdict = ({ target, source, pass }: Kind<'number'>) =>
    html`<td>${target && `target ${target}`}${pass !== undefined && (pass ? ' – reached' : ' – not reached')}${source && html`<br><small>${source}</small>`}</td>`
  return html`<table class="numbers"><tbody>${numbers.map(
    (number) =>
      html`<tr><th scope="row">${number.name}</th><td class="value">${formatNumber(number.value)} ${number.unit}</td>${targets && verdict(number)}</tr>`,
  )}</tbody></table>`
}

function tableHtml({ title, columns, rows }: Kind<'table'>): Html {
  const cell = (value: string | number) =>
    typeof value === 'number' ? html`<td class="value">${formatNumber(value)}</td>` : html`<td>${value}</td>`
  return html`<details${rows.length <= 8 && html` open`}><summary>${title}</summary><div class="wide"><table><thead><tr>${columns.map((name) => html`<th scope="col">${name}</th>`)}</tr></thead>
<tbody>${rows.map((row) => html`<tr>${row.map(cell)}</tr>`)}</tbody></table></div></details>`
}
