import { toMm } from '../../units.js'
import type { PlannedFile } from '../contract.js'
import { mmWords, sizeWords } from '../shared/words.js'
import type { PrintLayout } from './layoutPrint.js'
import type { PrintParams } from './params.js'

/** What to choose and to do for a print, in Markdown. */
export function printTicket(params: PrintParams, layout: PrintLayout, file: PlannedFile): string[] {
  const { sheet, picture, viewingMm } = layout
  const bleedMm = toMm(params.bleed, params.ppi)
  const lines = [
    `- File: \`${file.path}\`, ${file.width} x ${file.height} px at ${file.ppi} ppi, ${file.depth} bits a channel, ${file.space}`,
  ]
  if (bleedMm > 0) {
    const on = sheet ? `${sheet.name}, ${sheet.landscape ? 'landscape' : 'upright'}: ` : ''
    lines.push(
      `- Picture: ${on}${sizeWords(picture.width, picture.height)} once cut, with ${mmWords(bleedMm)} mm of bleed on all sides: the file is ${sizeWords(file.widthMm, file.heightMm)}; print it at 100 % on a larger sheet and cut it to size`,
    )
  } else if (sheet) {
    const right = sheet.widthMm - picture.x - picture.width
    const foot = sheet.heightMm - picture.y - picture.height
    lines.push(
      `- Print sheet: ${sheet.name}, ${sizeWords(sheet.widthMm, sheet.heightMm)}, ${sheet.landscape ? 'landscape' : 'upright'}`,
      `- Picture: ${sizeWords(picture.width, picture.height)}, ${mmWords(picture.x)} mm from the left and ${mmWords(picture.y)} mm from the top; ${mmWords(right)} mm are left at the right and ${mmWords(foot)} mm at the foot`,
      params['sheet-file']
        ? '- The file is the whole sheet: print it without borders of its own, at 100 %'
        : '- The file is the picture alone: print it at 100 %, placed as stated',
    )
  } else {
    lines.push(`- Picture: ${sizeWords(picture.width, picture.height)}; print it at 100 %`)
  }
  return [
    ...lines,
    `- Paper and side: ${params.media || 'the printable side up, as the printer takes it'}`,
    `- Profile: the one made for this printer, ink and paper; the file carries its own space, ${file.space}, and must be converted from it`,
    '- Intent: relative colorimetric with black point compensation; perceptual where deep or bright colours run together',
    `- Looked at from ${Math.round(viewingMm)} mm`,
  ]
}
