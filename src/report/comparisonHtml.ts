import type { Picture8 } from '../findings.js'
import { type Html, html } from './html.js'
import type { Comparison } from './ReportInput.js'

/** Two states side by side, with what changed where that is known. */
export async function comparisonHtml(
  { title, caption, before, after, difference }: Comparison,
  encode: (picture: Picture8) => Promise<string>,
): Promise<Html> {
  const image = async (picture: Picture8, label: string) =>
    html`<figure><img src="${await encode(picture)}" width="${picture.width}" height="${picture.height}" alt="${title}, ${label}"><figcaption>${label}</figcaption></figure>`
  return html`<section class="comparison"><h4>${title}</h4><p class="caption">${caption}</p><div class="pictures">
${await image(before, 'before')}${await image(after, 'after')}${
  difference &&
  (await image(difference.picture, `what changed, ${difference.amplified} times as strong, about mid grey`))
}
</div></section>`
}
