import type { Picture8 } from '../findings.js'
import { comparisonHtml } from './comparisonHtml.js'
import { findingsHtml } from './findingsHtml.js'
import { formatNumber } from './formatNumber.js'
import { Html, html } from './html.js'
import type { ReportInput } from './ReportInput.js'
import { SCRIPT, STYLE } from './style.js'
import { ticketHtml } from './ticketHtml.js'

/**
 * The report as one self-contained page that opens from disk.
 * @param encode gives a picture as a data URI
 */
export async function renderReport(
  input: ReportInput,
  encode: (picture: Picture8) => Promise<string>,
): Promise<string> {
  const { record, title, steps, outputs, cautions } = input
  const each = async <T>(items: readonly T[], render: (item: T) => Promise<Html>) => {
    const parts: Html[] = []
    for (const item of items) parts.push(await render(item))
    return parts
  }
  const page = html`<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>${title} – what was done</title><style>${new Html(STYLE)}</style></head><body><main>
<header><h1>${title}</h1>
<p class="soft">${summaryLine(input)}</p>
<nav><a href="#picture">The picture</a> <a href="#steps">Step by step</a> <a href="#outputs">What was made</a> <a href="#record">The record</a> <a href="#cautions">Cautions</a></nav></header>
${
  record.warnings.length > 0 &&
  html`<section><h2>Before you trust it</h2><ul class="warnings">${record.warnings.map(({ step, message }) => html`<li><b>${step}:</b> ${message}</li>`)}</ul></section>`
}
<section id="picture"><h2>The picture, as captured and as master</h2>${await wipeHtml(input, encode)}
${await each(input.details, (detail) => comparisonHtml(detail, encode))}</section>
<section id="steps"><h2>Step by step</h2>${await each(
    steps,
    async ({ name, summary, findings, comparisons }) =>
      html`<section><h3 id="step-${name}">${name}</h3><p class="soft">${summary}</p>${await findingsHtml(findings, encode)}${
        comparisons.length > 0 &&
        html`<details><summary>Before and after this step alone</summary>${await each(comparisons, (comparison) => comparisonHtml(comparison, encode))}</details>`
      }</section>`,
  )}</section>
<section id="outputs"><h2>What was made</h2>${filesHtml(input)}${await each(
    outputs,
    async ({ name, summary, findings, ticket, preview }) =>
      html`<section><h3>${name}</h3><p class="soft">${summary}</p>${
        preview &&
        html`<figure><img src="${await encode(preview.picture)}" width="${preview.picture.width}" height="${preview.picture.height}" alt="${name}"><figcaption>${preview.caption}</figcaption></figure>`
      }${await findingsHtml(findings, encode)}<details><summary>Job ticket</summary>${ticketHtml(ticket)}</details></section>`,
  )}</section>
<section id="record"><h2>The record</h2>${recordHtml(input)}</section>
<section id="cautions"><h2>Cautions</h2><ul>${cautions.map((caution) => html`<li>${caution}</li>`)}</ul></section>
</main><script>${new Html(SCRIPT)}</script></body></html>
`
  return page.text
}

function summaryLine({ record, outputs, steps }: ReportInput): string {
  const captured = record.inputs.filter(({ use }) => use === 'capture').length
  const captures = `${captured} capture${captured === 1 ? '' : 's'}`
  const master = record.outputs.find(({ kind }) => kind === 'master')
  const size = master
    ? `a master of ${master.width} x ${master.height} pixels (${Math.round(master.widthMm)} x ${Math.round(master.heightMm)} mm at ${formatNumber(master.ppi)} ppi, ${master.space}, ${master.depth} bits)`
    : 'a master'
  const by = steps.length ? `by ${steps.map(({ name }) => name).join(', ')}` : 'with no step in between'
  return `From ${captures} ${by}: ${size} and ${outputs.length} derivative${outputs.length === 1 ? '' : 's'}, on ${record.started.slice(0, 10)}, in ${formatNumber(record.seconds)} s.`
}

async function wipeHtml({ fit }: ReportInput, encode: (picture: Picture8) => Promise<string>): Promise<Html> {
  const { before, after, caption } = fit
  return html`<p class="caption">${caption} Move the handle: captures on the left, master on the right.</p>
<div class="wipe"><div style="position:relative"><img src="${await encode(before)}" width="${before.width}" height="${before.height}" alt="captured"><img class="over" src="${await encode(after)}" width="${after.width}" height="${after.height}" alt="master"><span class="edge"></span></div>
<input type="range" min="0" max="100" value="50" aria-label="border between capture and master"></div>
<p class="sides soft"><span>as captured</span><span>master</span></p>`
}

function filesHtml({ record }: ReportInput): Html {
  return html`<div class="wide"><table><thead><tr><th>file</th><th>pixels</th><th>on paper</th><th>ppi</th><th>space</th></tr></thead><tbody>${record.outputs.map(
    ({ path, width, height, widthMm, heightMm, ppi, space, depth }) =>
      html`<tr><td>${path}</td><td class="value">${width} x ${height}</td><td class="value">${formatNumber(widthMm)} x ${formatNumber(heightMm)} mm</td><td class="value">${formatNumber(ppi)}</td><td>${space}, ${depth} bits</td></tr>`,
  )}</tbody></table></div>`
}

function recordHtml({ record }: ReportInput): Html {
  const { tool, started, seconds, threads, peakMemoryBytes, inputs, outputs, timings } = record
  const hashes = [...inputs, ...outputs]
  return html`<p>${tool.name} ${tool.version}, begun ${started}, ${formatNumber(seconds)} s on ${threads} thread${threads !== 1 && 's'}, at most ${Math.round(peakMemoryBytes / 1e6)} MB of memory. The same facts stand in <code>run.json</code>.</p>
<details><summary>Files and their SHA-256</summary><div class="wide"><table><tbody>${hashes.map(({ path, sha256 }) => html`<tr><td>${path}</td><td class="hash">${sha256}</td></tr>`)}</tbody></table></div></details>
<details><summary>Where the time went</summary><table><tbody>${timings.map(({ stage, seconds }) => html`<tr><td>${stage}</td><td class="value">${formatNumber(seconds)} s</td></tr>`)}</tbody></table></details>`
}
