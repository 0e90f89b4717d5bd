import { Html, html } from './html.js'

/** The lines of a job ticket, which are simple Markdown (lists, bold, headings), as HTML. */
export function ticketHtml(lines: readonly string[]): Html {
  return html`<ul>${lines.filter((line) => line.trim() !== '').map((line) => html`<li>${inline(line.replace(/^(?:[-*]|#+|\d+\.|- \[ \])\s+/, '').replace(/^\[ \]\s+/, ''))}</li>`)}</ul>`
}

function inline(text: string): Html {
  const escaped = html`${text}`.text
  return new Html(escaped.replace(/\*\*([^*]+)\*\*/g, '<b>$1</b>').replace(/`([^`]+)`/g, '<code>$1</code>'))
}
