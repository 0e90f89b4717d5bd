import { MM_PER_INCH } from '../../../units.js'
import type { ReadContext } from '../../contract.js'

/** The sheet's resolution, from its stated size where there is one, else the finest capture's. */
export function findResolution(
  { sheetSizeMm }: ReadContext,
  { width, height }: { width: number; height: number },
  finestPpi: number | undefined,
  statements: string[],
): number | undefined {
  const measured = sheetSizeMm?.width
    ? (width / sheetSizeMm.width) * MM_PER_INCH
    : sheetSizeMm?.height
      ? (height / sheetSizeMm.height) * MM_PER_INCH
      : undefined
  if (!measured) return finestPpi
  const against = finestPpi ? `; the captures say ${finestPpi}` : ''
  statements.push(`scale from the stated size of the sheet: ${measured.toFixed(1)} ppi${against}`)
  return measured
}
