import { RequestError } from '../../errors.js'
import type { BoxMm } from '../PdfDocument.js'
import { mmWords, sizeWords } from '../shared/words.js'
import type { Sheet } from '../sheets/sheets.js'
import { sheetThatHolds } from '../sheets/sheetThatHolds.js'

/** Length of a trim or fold mark, in millimetres; it begins where the bleed ends. */
export const MARK_MM = 3

export interface Piece {
  widthMm: number
  heightMm: number
  bleedMm: number
}

export interface Imposition {
  sheet: { name: string; widthMm: number; heightMm: number; landscape: boolean }
  /** Trimmed pieces on the sheet, row by row. */
  pieces: BoxMm[]
  /** The least box around all trimmed pieces. */
  grid: BoxMm
}

/**
 * Lays pieces of one size on a sheet in rows and columns, in the middle, each at two bleeds from the next, with room
 * around them for bleed and marks. The sheet turns to hold the most; the pieces stay upright.
 * @param up how many, or undefined for as many as there is room for
 * @param marginMm edge of the sheet that is not printed on
 * @throws RequestError where they do not fit, with what would
 */
export function impose(
  name: string,
  piece: Piece,
  sheet: Sheet,
  up: number | undefined,
  marginMm: number,
): Imposition {
  const best = bestWay(piece, sheet, marginMm)
  if (best.count < (up ?? 1)) throw noRoom(name, piece, sheet, up ?? 1, best.count, marginMm)
  const count = up ?? best.count
  const columns = Math.min(best.columns, count)
  const rows = Math.ceil(count / columns)
  const stepX = piece.widthMm + 2 * piece.bleedMm
  const stepY = piece.heightMm + 2 * piece.bleedMm
  const width = columns * stepX - 2 * piece.bleedMm
  const height = rows * stepY - 2 * piece.bleedMm
  const grid = { x: (best.widthMm - width) / 2, y: (best.heightMm - height) / 2, width, height }
  const pieces = Array.from({ length: count }, (_, i) => ({
    x: grid.x + (i % columns) * stepX,
    y: grid.y + Math.floor(i / columns) * stepY,
    width: piece.widthMm,
    height: piece.heightMm,
  }))
  const { widthMm, heightMm, landscape } = best
  return { sheet: { name: sheet.name, widthMm, heightMm, landscape }, pieces, grid }
}

interface Way {
  widthMm: number
  heightMm: number
  landscape: boolean
  columns: number
  count: number
}

function bestWay(piece: Piece, { widthMm, heightMm }: Sheet, marginMm: number): Way {
  const way = (width: number, height: number, landscape: boolean): Way => {
    const columns = fitting(width, piece.widthMm, piece.bleedMm, marginMm)
    const rows = fitting(height, piece.heightMm, piece.bleedMm, marginMm)
    return { widthMm: width, heightMm: height, landscape, columns, count: columns * rows }
  }
  const upright = way(widthMm, heightMm, false)
  const across = way(heightMm, widthMm, true)
  return across.count > upright.count ? across : upright
}

/** How many pieces stand in a row: n sizes, the gutters between, and at both ends bleed, mark and margin. */
function fitting(sheetMm: number, pieceMm: number, bleedMm: number, marginMm: number): number {
  const room = sheetMm - 2 * (marginMm + bleedMm + MARK_MM) + 2 * bleedMm
  return Math.max(0, Math.floor(room / (pieceMm + 2 * bleedMm) + 1e-9))
}

function noRoom(
  name: string,
  piece: Piece,
  sheet: Sheet,
  wanted: number,
  held: number,
  marginMm: number,
): RequestError {
  const larger = sheetThatHolds(sheet, (one) => bestWay(piece, one, marginMm).count >= wanted)
  const around = marginMm + piece.bleedMm + MARK_MM
  const between = wanted > 1 ? `, ${mmWords(2 * piece.bleedMm)} mm between them` : ''
  const ways = [
    larger && `The sheet ${larger.name} holds ${bestWay(piece, larger, marginMm).count}`,
    held > 0 && `this one holds up: ${held}`,
  ].filter(Boolean)
  return new RequestError({
    what: `card ${name}: ${wanted === 1 ? 'the flat card does' : `${wanted} flat cards do`} not fit the sheet ${sheet.name}`,
    expected: `room for ${wanted} of ${sizeWords(piece.widthMm, piece.heightMm)}${between}, and ${mmWords(around)} mm around for bleed, marks and the sheet's unprinted edge`,
    found: sizeWords(sheet.widthMm, sheet.heightMm),
    todo: ways.length ? ways.join('; ') : 'Take a larger sheet or a smaller card',
  })
}
