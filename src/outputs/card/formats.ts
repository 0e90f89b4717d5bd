import { RequestError } from '../../errors.js'
import { MM_PER_INCH } from '../../units.js'
import { sizeWords } from '../shared/words.js'
import { isoASheet } from '../sheets/isoSheet.js'

/** A card by its size once made: the longer side is where a folded one is folded. */
export interface CardFormat {
  name: string
  folded: boolean
  longMm: number
  shortMm: number
  /** Envelope it goes into; absent where the size is free. */
  envelope?: string
}

/**
 * Cards by name. ISO sizes by ISO 216's rule, folded ones as half of the next larger sheet (half of A4 is 148.5 mm, which
 * A5 rounds down); the others and the pairing with envelopes are common practice.
 */
export const CARD_FORMATS: readonly CardFormat[] = [
  ...pair('a6', isoASheet(6), isoASheet(5).heightMm / 2, 'C6'),
  ...pair('a5', isoASheet(5), isoASheet(4).heightMm / 2, 'C5'),
  ...pair('dl', { widthMm: 99, heightMm: 210 }, 99, 'DL'),
  ...pair('square', { widthMm: 150, heightMm: 150 }, 150, '155 or 160 mm square'),
  ...pair('5x7in', { widthMm: inches(5), heightMm: inches(7) }, inches(5), '133 x 184 mm (5.25 x 7.25 in)'),
]

function pair(
  size: string,
  { widthMm, heightMm }: { widthMm: number; heightMm: number },
  halfMm: number,
  envelope: string,
): CardFormat[] {
  return [
    { name: `${size}-folded`, folded: true, longMm: heightMm, shortMm: halfMm, envelope },
    { name: `${size}-flat`, folded: false, longMm: heightMm, shortMm: widthMm, envelope },
  ]
}

function inches(count: number): number {
  return count * MM_PER_INCH
}

/** A free size: `120x170mm-folded`. */
export const FREE_FORMAT = /^(\d+(?:\.\d+)?)\s*[x×]\s*(\d+(?:\.\d+)?)\s*(mm|cm|in)-(folded|flat)$/i
const SMALLEST_MM = 30
const LARGEST_MM = 1000

/**
 * The format a text names.
 * @throws RequestError for a free size that no card has
 */
export function cardFormat(text: string): CardFormat {
  const known = CARD_FORMATS.find(({ name }) => name === text)
  if (known) return known
  const [, a, b, unit, kind] = FREE_FORMAT.exec(text)!
  const each = { mm: 1, cm: 10, in: MM_PER_INCH }[unit.toLowerCase()]!
  const [shortMm, longMm] = [Number(a) * each, Number(b) * each].sort((p, q) => p - q)
  if (shortMm < SMALLEST_MM || longMm > LARGEST_MM) {
    throw new RequestError({
      what: 'not the size of a card',
      expected: `sides from ${SMALLEST_MM} to ${LARGEST_MM} mm`,
      found: sizeWords(shortMm, longMm),
    })
  }
  return { name: text, folded: kind.toLowerCase() === 'folded', longMm, shortMm }
}
