import type { BoxMm, PdfItem } from '../PdfDocument.js'
import { type Imposition, MARK_MM } from './impose.js'
import type { Flat } from './layoutFlat.js'

/** A quarter of a point: thin enough to cut along, thick enough to see; common practice. */
const LINE_MM = 0.088
/** Three dashes and two gaps make up a mark. */
const FOLD_DASH_MM = [0.7, 0.45]

type Line = PdfItem & { kind: 'line' }

/**
 * Trim and fold marks in the margin around all pieces, beyond the bleed: one at each end of every line to cut or fold
 * along. None stands between the pieces, where it would lie in the bleed.
 * @param fold which way the fold runs in every piece, if there is one
 */
export function marks({ pieces, grid }: Imposition, bleedMm: number, fold: Flat['fold']): Line[] {
  const xs = (of: (piece: BoxMm) => number[]) => distinct(pieces.flatMap(of))
  const cutX = xs(({ x, width }) => [x, x + width])
  const cutY = xs(({ y, height }) => [y, y + height])
  const foldX = fold === 'upright' ? xs(({ x, width }) => [x + width / 2]) : []
  const foldY = fold === 'level' ? xs(({ y, height }) => [y + height / 2]) : []
  return [
    ...cutX.flatMap((x) => upright(grid, x, bleedMm)),
    ...cutY.flatMap((y) => level(grid, y, bleedMm)),
    ...foldX.flatMap((x) => upright(grid, x, bleedMm, FOLD_DASH_MM)),
    ...foldY.flatMap((y) => level(grid, y, bleedMm, FOLD_DASH_MM)),
  ]
}

function upright(grid: BoxMm, x: number, bleedMm: number, dashMm?: number[]): Line[] {
  const top = grid.y - bleedMm
  const foot = grid.y + grid.height + bleedMm
  return [
    { kind: 'line', from: [x, top - MARK_MM], to: [x, top], widthMm: LINE_MM, dashMm },
    { kind: 'line', from: [x, foot], to: [x, foot + MARK_MM], widthMm: LINE_MM, dashMm },
  ]
}

function level(grid: BoxMm, y: number, bleedMm: number, dashMm?: number[]): Line[] {
  const left = grid.x - bleedMm
  const right = grid.x + grid.width + bleedMm
  return [
    { kind: 'line', from: [left - MARK_MM, y], to: [left, y], widthMm: LINE_MM, dashMm },
    { kind: 'line', from: [right, y], to: [right + MARK_MM, y], widthMm: LINE_MM, dashMm },
  ]
}

/** Numbers that differ by more than a micrometre, in order. */
function distinct(values: number[]): number[] {
  return values.sort((a, b) => a - b).filter((v, i, all) => i === 0 || v - all[i - 1] > 0.001)
}
