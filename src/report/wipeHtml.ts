import type { Picture8 } from '../findings.js'
import { type Html, html } from './html.js'
import type { Comparison } from './ReportInput.js'

/** Captures and master one over the other, with a border between them that can be moved. */
export async function wipeHtml(
  { before, after, caption }: Comparison,
  encode: (picture: Picture8) => Promise<string>,
): Promise<Html> {
  return html`<p class="caption">${caption} Move the border: left of it the captures, right of it the master.</p>
<div class="wipe"><div class="frame"><img src="${await encode(before)}" width="${before.width}" height="${before.height}" alt="as captured" draggable="false"><img class="over" src="${await encode(after)}" width="${after.width}" height="${after.height}" alt="master" draggable="false"><span class="edge"></span></div>
<input type="range" min="0" max="100" step="0.5" value="50" aria-label="border between captures and master">
<p class="sides"><span>as captured</span><span>master</span></p></div>`
}
