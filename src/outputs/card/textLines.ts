import { RequestError } from '../../errors.js'
import { MM_PER_INCH } from '../../units.js'
import type { BoxMm, PdfItem } from '../PdfDocument.js'
import { SAFE_MM } from '../shared/bleed.js'
import { unsettable, widthInEm } from '../shared/typeface.js'

const MM_PER_POINT = MM_PER_INCH / 72
/** Tried from the largest; below 6 points a line is not read without effort; common practice. */
const SIZES_PT = [9, 8, 7, 6]
const LEADING = 1.4
/** Space below the last line on the back. */
export const FOOT_MM = 12

/**
 * Text centred across a panel, in the largest size that fits.
 * @param panel where it stands
 * @param turned the panel is upside down on the page
 * @param footMm from the panel's foot to the last line
 * @throws RequestError where it is too long, has too many lines, or characters that the typeface lacks
 */
export function textLines(
  what: string,
  text: string,
  panel: BoxMm,
  turned: 0 | 180,
  footMm = FOOT_MM,
): (PdfItem & { kind: 'text' })[] {
  const lines = text
    .trim()
    .split(/\r?\n/)
    .map((line) => line.trim())
  if (lines.every((line) => line === '')) return []
  refuseCharacters(what, text)
  const longest = lines.reduce((a, b) => (widthInEm(b) > widthInEm(a) ? b : a))
  const room = panel.width - 2 * SAFE_MM
  const sizePt = SIZES_PT.find(
    (pt) =>
      widthInEm(longest) * pt * MM_PER_POINT <= room &&
      footMm + lines.length * LEADING * pt * MM_PER_POINT <= panel.height - SAFE_MM,
  )
  if (!sizePt) {
    const least = SIZES_PT.at(-1)!
    const letter = widthInEm(longest) / [...longest].length
    const letters = Math.floor(room / (letter * least * MM_PER_POINT))
    const most = Math.floor((panel.height - SAFE_MM - footMm) / (LEADING * least * MM_PER_POINT))
    throw new RequestError({
      what: `${what}: the text is too long`,
      expected: `lines of at most about ${letters} letters, and at most ${most} lines`,
      found: `${[...longest].length} letters in the longest of ${lines.length} lines`,
      todo: 'Shorten it or break it into lines',
    })
  }
  const x = panel.x + panel.width / 2
  return lines.flatMap((line, i) => {
    if (line === '') return []
    const up = footMm + (lines.length - 1 - i) * LEADING * sizePt * MM_PER_POINT
    const y = turned === 0 ? panel.y + panel.height - up : panel.y + up
    return [{ kind: 'text' as const, text: line, at: [x, y] as [number, number], sizePt, turned }]
  })
}

function refuseCharacters(what: string, text: string): void {
  const missing = unsettable(text.replace(/\s/g, ''))
  if (missing.length === 0) return
  const named = missing.map(
    (c) => `${c} (U+${c.codePointAt(0)!.toString(16).toUpperCase().padStart(4, '0')})`,
  )
  throw new RequestError({
    what: `${what}: the typeface has no ${named.join(', ')}`,
    expected: 'Latin, Greek, Cyrillic or Vietnamese letters, figures and punctuation',
    todo: 'Write it in other characters, or place it as part of the picture',
  })
}
