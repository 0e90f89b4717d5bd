import { MM_PER_INCH } from '../../units.js'
import type { PdfItem } from '../PdfDocument.js'
import { settable, widthInEm } from '../shared/typeface.js'
import { type Imposition, MARK_MM } from './impose.js'

const SIZE_PT = 6
const SIZE_MM = (SIZE_PT / 72) * MM_PER_INCH
/** From the marks to the line, and from the line to what is not printed. */
const AWAY_MM = 1.5

/**
 * A small line below the marks that tells one sheet from another, and is cut away; none where there is no room.
 * @param marginMm edge of the sheet that is not printed on
 */
export function sheetNote(
  text: string,
  { sheet, grid }: Imposition,
  bleedMm: number,
  marginMm: number,
): (PdfItem & { kind: 'text' })[] {
  const line = settable(`${text}; print at 100 %`)
  const y = grid.y + grid.height + bleedMm + MARK_MM + AWAY_MM + SIZE_MM
  const fits =
    y + AWAY_MM <= sheet.heightMm - marginMm && grid.x + widthInEm(line) * SIZE_MM <= sheet.widthMm - marginMm
  if (!fits) return []
  return [{ kind: 'text', text: line, at: [grid.x, y], sizePt: SIZE_PT, align: 'start' }]
}
