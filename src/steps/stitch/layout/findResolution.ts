import { MM_PER_INCH } from '../../../units.js'
import type { ReadContext } from '../../contract.js'
import type { FittedEdges } from '../edges/fitEdges.js'

/** A size is stated to the millimetre: it is off by up to half of one. */
const SIZE_MM = 0.5
/** An edge seen is placed within this, sheet pixels; the captures' union is not the sheet's by up to a pixel a side. */
const EDGE_PX = 0.3
const UNION_PX = 1

export interface Resolution {
  ppi?: number
  /** Share by which the scale may be off, as a standard deviation; absent where nothing says. */
  uncertainty?: number
}

/**
 * The sheet's resolution and how sure it is: from its stated size where there is one (between its edges where both are
 * seen, else over all that was captured), else the finest capture's.
 * @param scaleSpread how far flatbed captures' scales differ, as a standard deviation of the logarithm, and among how many
 */
export function findResolution(
  { sheetSizeMm, kind }: Pick<ReadContext, 'sheetSizeMm' | 'kind'>,
  { width, height }: { width: number; height: number },
  finestPpi: number | undefined,
  statements: string[],
  edges?: FittedEdges,
  scaleSpread?: { sigma: number; captures: number },
): Resolution {
  const sizeMm = sheetSizeMm?.width ?? sheetSizeMm?.height
  if (!sizeMm) {
    if (kind === 'camera' || !finestPpi || !scaleSpread) {
      if (kind === 'camera') {
        statements.push(
          'frames of a camera tell no scale: state captures.size (the sheet’s width or height) to fix it',
        )
      }
      return { ppi: finestPpi }
    }
    const uncertainty = scaleSpread.sigma / Math.sqrt(scaleSpread.captures)
    statements.push(
      `scale from the captures’ resolution, ${finestPpi} ppi, uncertain by ${percent(uncertainty)} as the captures’ scales differ among themselves; what all of them are off by only a stated size can tell`,
    )
    return { ppi: finestPpi, uncertainty }
  }
  const upright = sheetSizeMm?.width !== undefined
  const [low, high] = upright ? ([3, 1] as const) : ([0, 2] as const)
  const seen = [low, high].filter((side) => edges?.seen[side]).length
  // Pixels have their centres at whole numbers: what was captured ends half a pixel outside the first and the last.
  const from = edges?.seen[low] ? edges.offsets[low] : -0.5
  const to = edges?.seen[high] ? edges.offsets[high] : (upright ? width : height) - 0.5
  const ppi = ((to - from) / sizeMm) * MM_PER_INCH
  const endsPx = Math.hypot(...[low, high].map((side) => (edges?.seen[side] ? EDGE_PX : UNION_PX)))
  const uncertainty = Math.hypot(SIZE_MM / Math.sqrt(3) / sizeMm, endsPx / (to - from))
  const over = [
    'taken for all that was captured, as its edges are not seen; if the captures show less of it or more, the scale is off by as much',
    'from the one edge seen to where the captures end; if they end inside the sheet or beyond, the scale is off by as much',
    'between its edges',
  ][seen]
  const against = finestPpi ? `; the captures say ${finestPpi}` : ''
  statements.push(
    `scale from the stated size of the sheet, ${over}: ${ppi.toFixed(1)} ppi, uncertain by ${percent(uncertainty)}${against}`,
  )
  return { ppi, uncertainty }
}

const percent = (share: number) => `${(100 * share).toFixed(2)} %`
