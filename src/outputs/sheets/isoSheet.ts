/**
 * A trimmed size of ISO 216's main series: A0 has an area of one square metre and sides of 1 : sqrt 2, each next size
 * is the one before with its longer side halved; rounded down to whole millimetres (A0 to the nearest).
 * Source: ISO 216:2007, by its rule; checked against the published table in tests/published/sheets.ts.
 * @param n 0 for A0
 */
export function isoASheet(n: number): { widthMm: number; heightMm: number } {
  let widthMm = Math.round(1000 * 2 ** -0.25)
  let heightMm = Math.round(1000 * 2 ** 0.25)
  for (let i = 0; i < n; i++) [widthMm, heightMm] = [Math.floor(heightMm / 2), widthMm]
  return { widthMm, heightMm }
}
