import type { Finding } from '../findings.js'
import { type Html, html } from './html.js'
import { sentence } from './sentence.js'
import { valueWords } from './words.js'

type NumberFinding = Extract<Finding, { kind: 'number' }>

/** Numbers as one table: name, value, target and whether it is reached; where targets come from stands below. */
export function numbersTable(numbers: readonly NumberFinding[]): Html {
  const sources = [...new Set(numbers.flatMap(({ source }) => source ?? []))]
  const judged = numbers.some(({ target, source }) => target || source)
  const mark = ({ source }: NumberFinding) =>
    source !== undefined && html`<sup>${sources.indexOf(source) + 1}</sup>`
  const row = (number: NumberFinding) => {
    const { name, target, pass } = number
    const aim = html`<td>${target && `target ${target}`}</td><td>${pass !== undefined && (pass ? 'reached' : html`<b>not reached</b>`)}</td>`
    return html`<tr><th scope="row">${name}${mark(number)}</th><td class="value">${valueWords(number)}</td>${judged && aim}</tr>`
  }
  return html`<div class="wide"><table class="numbers"><tbody>${numbers.map(row)}</tbody></table></div>${sources.map((source, i) => html`<p class="source"><sup>${i + 1}</sup> ${sentence(source)}</p>`)}`
}
