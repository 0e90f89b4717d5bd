import { MM_PER_INCH } from '../../units.js'
import { isoASheet } from '../sheets/isoSheet.js'

/** A folded card by its paper before folding: the side that is folded in half, and the fold's own length. */
export interface CardFormat {
  name: string
  foldedSideMm: number
  foldLengthMm: number
  /** Envelope it goes into. */
  envelope: string
}

const A4 = isoASheet(4)
const A5 = isoASheet(5)

/**
 * Folded cards. ISO sizes by ISO 216's rule; the others and the pairing with envelopes are common practice.
 * A portrait card has its fold at the left, a landscape card on top.
 */
export const CARD_FORMATS: readonly CardFormat[] = [
  { name: 'a6-folded', foldedSideMm: A5.heightMm, foldLengthMm: A5.widthMm, envelope: 'C6' },
  { name: 'a5-folded', foldedSideMm: A4.heightMm, foldLengthMm: A4.widthMm, envelope: 'C5' },
  { name: 'dl-folded', foldedSideMm: 198, foldLengthMm: 210, envelope: 'DL' },
  { name: 'square-folded', foldedSideMm: 300, foldLengthMm: 150, envelope: '155 or 160 mm square' },
  {
    name: '5x7in-folded',
    foldedSideMm: 10 * MM_PER_INCH,
    foldLengthMm: 7 * MM_PER_INCH,
    envelope: '133 x 184 mm (5.25 x 7.25 in)',
  },
]
