import type { PlannedFile } from '../contract.js'
import { SAFE_MM } from '../shared/bleed.js'
import { mmWords, sizeWords } from '../shared/words.js'
import type { CardLayout } from './layoutCard.js'
import type { CardParams } from './params.js'
import { reverseOf } from './reverseOf.js'

/** What to choose and to do for a card, in Markdown. */
export function cardTicket(params: CardParams, layout: CardLayout, file: PlannedFile): string[] {
  const { flat, imposition, bleedMm, format, viewingMm } = layout
  const { sheet, pieces } = imposition
  const reverse = reverseOf(params, flat)
  const packed = params.quality ? `JPEG of quality ${params.quality}` : 'lossless'
  return [
    `- File: \`${file.path}\`, ${reverse ? 'two pages' : 'one page'}; pictures ${file.width} x ${file.height} px at ${file.ppi} ppi, ${file.space}, ${packed}`,
    `- Print sheet: ${sheet.name}, ${sizeWords(sheet.widthMm, sheet.heightMm)}, ${sheet.landscape ? 'landscape' : 'upright'}; ${pieces.length} ${pieces.length === 1 ? 'card' : 'cards'} on it; print it at 100 %`,
    ...pieces.map(
      ({ x, y, width, height }, i) =>
        `- ${pieces.length > 1 ? `Card ${i + 1}` : 'Flat card'}: ${sizeWords(width, height)}, ${mmWords(x)} mm from the left and ${mmWords(y)} mm from the top, trimmed; ${mmWords(bleedMm)} mm of bleed around`,
    ),
    ...(reverse
      ? [
          `- Second page: the ${reverse}. Turn the sheet over sideways, left edge to right (work and turn), and print it on the back; hold both against the light to see that they meet`,
        ]
      : []),
    `- Paper and side: ${params.media || `the printable side up${reverse ? '; both sides are printed: a paper coated on both' : ''}`}`,
    `- Grain: ${grain(layout)}`,
    '- Profile: the one made for this printer, ink and paper; the pictures carry their own space and must be converted from it',
    '- Intent: relative colorimetric with black point compensation; perceptual where deep or bright colours run together',
    format.folded
      ? '- Cut along the solid marks once dry; then score and fold along the dashed ones, with the picture outside'
      : '- Cut along the marks once dry',
    `- ${format.folded ? 'Folded' : 'Cut'}: ${sizeWords(flat.front.width, flat.front.height)}${format.envelope ? `, for an envelope ${format.envelope}` : ''}; looked at from ${Math.round(viewingMm)} mm; nothing that matters nearer than ${SAFE_MM} mm to an edge`,
  ]
}

/** Which way the paper's fibres should lie; common practice. */
function grain({ flat: { fold, widthMm, heightMm } }: CardLayout): string {
  const across = fold === 'none' ? widthMm > heightMm : fold === 'level'
  const way = across ? 'from left to right' : 'from top to foot'
  return fold === 'none'
    ? `along the card's longer side where there is a choice, that is ${way} of the sheet as it lies; the card then stays flat`
    : `along the fold, that is ${way} of the sheet as it lies, or the fold cracks`
}
