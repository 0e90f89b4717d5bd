/**
 * Trimmed sheets in millimetres, shorter side first.
 * ISO 216 A0 to A5: Metamorfoze Preservation Imaging Guidelines 1.0 (2012), section 1.6, table; and the documented
 * page-format list of TCPDF (include/tcpdf_static.php, commit 01ad4b7), which also gives A3+, RA3, SRA3, B4 and B5.
 */
export const PUBLISHED_SHEETS: [name: string, widthMm: number, heightMm: number][] = [
  ['A0', 841, 1189],
  ['A1', 594, 841],
  ['A2', 420, 594],
  ['A3', 297, 420],
  ['A4', 210, 297],
  ['A5', 148, 210],
  ['A3+', 329, 483],
  ['RA3', 305, 430],
  ['SRA3', 320, 450],
  ['B4', 250, 353],
  ['B5', 176, 250],
]

/** The same page-format list gives 13 x 19 in as 330 x 483 mm and 5 x 7 in as 127 x 178 mm, to whole millimetres. */
export const PUBLISHED_INCH_SHEETS: typeof PUBLISHED_SHEETS = [
  ['13x19in', 330, 483],
  ['5x7in', 127, 178],
]
