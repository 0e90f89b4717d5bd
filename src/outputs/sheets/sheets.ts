import { MM_PER_INCH } from '../../units.js'
import { isoASheet } from './isoSheet.js'

/** A print sheet, upright: `widthMm` is the shorter side. */
export interface Sheet {
  name: string
  widthMm: number
  heightMm: number
  source: string
}

const inches = (name: string, width: number, height: number): Sheet => ({
  name,
  widthMm: width * MM_PER_INCH,
  heightMm: height * MM_PER_INCH,
  source: 'trade size, defined by its inches',
})

/** TCPDF's documented page-format list (include/tcpdf_static.php at commit 01ad4b7). */
const PAGE_LIST = 'page-format list of TCPDF, tcpdf_static.php @01ad4b7'

/** Print sheets by name. */
export const SHEETS: readonly Sheet[] = [
  ...[0, 1, 2, 3, 4, 5, 6].map((n) => ({ name: `A${n}`, ...isoASheet(n), source: 'ISO 216' })),
  { name: 'A3+', widthMm: 329, heightMm: 483, source: PAGE_LIST },
  { name: 'B4', widthMm: 250, heightMm: 353, source: `ISO 216, in the ${PAGE_LIST}` },
  { name: 'B5', widthMm: 176, heightMm: 250, source: `ISO 216, in the ${PAGE_LIST}` },
  { name: 'RA3', widthMm: 305, heightMm: 430, source: `ISO 217, in the ${PAGE_LIST}` },
  { name: 'SRA3', widthMm: 320, heightMm: 450, source: `ISO 217, in the ${PAGE_LIST}` },
  inches('letter', 8.5, 11),
  inches('legal', 8.5, 14),
  inches('tabloid', 11, 17),
  inches('4x6in', 4, 6),
  inches('5x7in', 5, 7),
  inches('8x10in', 8, 10),
  inches('11x14in', 11, 14),
  inches('12x16in', 12, 16),
  inches('13x19in', 13, 19),
  inches('16x20in', 16, 20),
  inches('17x22in', 17, 22),
  inches('18x24in', 18, 24),
  inches('20x24in', 20, 24),
  inches('24x36in', 24, 36),
]
