import type { Picture8 } from '../findings.js'
import { comparisonHtml } from './comparisonHtml.js'
import { findingsHtml } from './findingsHtml.js'
import { formatNumber } from './formatNumber.js'
import { Html, html } from './html.js'
import type { ReportInput } from './ReportInput.js'
import { SCRIPT } from './script.js'
import { sentence } from './sentence.js'
import { STYLE } from './style.js'
import { summaryHtml } from './summaryHtml.js'
import { ticketHtml } from './ticketHtml.js'
import { wipeHtml } from './wipeHtml.js'
import { counted, sizeMm, sizePx } from './words.js'

type Encode = (picture: Picture8) => Promise<string>

/**
 * The report as one self-contained page that opens from disk.
 * @param encode gives a picture as a data URI
 */
export async function renderReport(input: ReportInput, encode: Encode): Promise<string> {
  const { record, title, steps, outputs, cautions } = input
  const each = async <T>(items: readonly T[], render: (item: T) => Promise<Html>) => {
    const parts: Html[] = []
    for (const item of items) parts.push(await render(item))
    return parts
  }
  const page = html`<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>${title} – what was done</title><style>${new Html(STYLE)}</style></head><body><main>
<header><h1>${title}</h1><p class="lead">${leadWords(input)}</p>
<nav><a href="#picture">The picture</a> <a href="#steps">Step by step</a> <a href="#outputs">What was made</a> <a href="#record">The record</a> <a href="#cautions">Cautions</a></nav></header>
${
  record.warnings.length > 0 &&
  html`<section id="warnings"><h2>Before you trust it</h2><ul class="warnings">${record.warnings.map(({ step, message }) => html`<li><b>${step}:</b> ${sentence(message)}</li>`)}</ul></section>`
}
<section id="summary"><h2>In short</h2>${summaryHtml(input)}</section>
<section id="picture"><h2>The picture, as captured and as master</h2>${await wipeHtml(input.fit, encode)}
${await each(input.details, (detail) => comparisonHtml(detail, encode))}</section>
<section id="steps"><h2>Step by step</h2>${await each(steps, (step) => stepHtml(step, encode))}</section>
<section id="outputs"><h2>What was made</h2>${filesHtml(input)}${await each(outputs, (output) => outputHtml(output, encode))}</section>
<section id="record"><h2>The record</h2>${recordHtml(input)}</section>
<section id="cautions"><h2>Cautions</h2><ul>${cautions.map((caution) => html`<li>${caution}</li>`)}</ul></section>
</main><script>${new Html(SCRIPT)}</script></body></html>
`
  return page.text
}

function leadWords({ record, outputs }: ReportInput): string {
  const captures = record.inputs.filter(({ use }) => use === 'capture').length
  const master = record.outputs.find(({ kind }) => kind === 'master')
  const size = master
    ? `a master of ${sizeMm(master)} (${master.space}, ${master.depth} bits, ${formatNumber(master.ppi ?? 0)} ppi)`
    : 'a master'
  const made = outputs.length > 0 ? `, and from it ${counted(outputs.length, 'file')} to print` : ''
  return `${counted(captures, 'capture')} became ${size}${made}. Made on ${record.started.slice(0, 10)}.`
}

async function stepHtml(
  { name, summary, findings, comparisons }: ReportInput['steps'][number],
  encode: Encode,
): Promise<Html> {
  const parts: Html[] = []
  for (const comparison of comparisons) parts.push(await comparisonHtml(comparison, encode))
  return html`<section class="part"><h3 id="step-${name}">${name}</h3><p class="soft">${sentence(summary)}</p>${await findingsHtml(findings, encode)}${
    parts.length > 0 && html`<details><summary>Before and after this step alone</summary>${parts}</details>`
  }</section>`
}

async function outputHtml(
  { name, summary, findings, ticket, preview }: ReportInput['outputs'][number],
  encode: Encode,
): Promise<Html> {
  const shown =
    preview &&
    html`<figure class="preview"><img src="${await encode(preview.picture)}" width="${preview.picture.width}" height="${preview.picture.height}" alt="${name}"><figcaption>${sentence(preview.caption)}</figcaption></figure>`
  return html`<section class="part"><h3>${name}</h3><p class="soft">${sentence(summary)}</p>${await findingsHtml(findings, encode, shown)}<details><summary>Job ticket</summary>${ticketHtml(ticket)}</details></section>`
}

function filesHtml({ record }: ReportInput): Html {
  const row = (output: ReportInput['record']['outputs'][number]) =>
    html`<tr><td>${output.path}</td><td class="value">${sizeMm(output)}</td><td class="value">${sizePx(output)}</td><td class="value">${output.ppi === null ? '–' : formatNumber(output.ppi)}</td><td>${output.space ?? '–'}</td><td class="value">${output.depth ?? '–'}</td></tr>`
  return html`<div class="wide"><table class="data"><thead><tr><th scope="col">file</th><th scope="col" class="value">on paper</th><th scope="col" class="value">pixels</th><th scope="col" class="value">ppi</th><th scope="col">space</th><th scope="col" class="value">bits</th></tr></thead><tbody>${record.outputs.map(row)}</tbody></table></div>`
}

function recordHtml({ record }: ReportInput): Html {
  const { tool, started, seconds, threads, peakMemoryBytes, inputs, outputs, timings } = record
  const hashes = [...inputs, ...outputs]
  return html`<p>${tool.name} ${tool.version}, begun ${started.slice(0, 16).replace('T', ' ')} UTC, ${formatNumber(seconds)} s on ${counted(threads, 'thread')}, at most ${Math.round(peakMemoryBytes / 1e6)} MB of memory. The same facts stand in <code>run.json</code>.</p>
<details><summary>Files and their SHA-256</summary><div class="wide"><table><tbody>${hashes.map(({ path, sha256 }) => html`<tr><td>${path}</td><td class="hash">${sha256}</td></tr>`)}</tbody></table></div></details>
<details><summary>Where the time went</summary><table><tbody>${timings.map(({ stage, seconds }) => html`<tr><td>${stage}</td><td class="value">${formatNumber(seconds)} s</td></tr>`)}</tbody></table></details>`
}
