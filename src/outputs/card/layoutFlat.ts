import type { BoxMm } from '../PdfDocument.js'
import type { CardFormat } from './formats.js'

/** A card opened flat, its outside up; millimetres from the flat's top left corner, trimmed. */
export interface Flat {
  widthMm: number
  heightMm: number
  front: BoxMm
  back: BoxMm
  /** Clockwise, as the back is turned against the front before folding. */
  backTurned: 0 | 180
  /** The fold runs down the middle (`upright`) or across it (`level`). */
  fold: 'upright' | 'level'
  /** Sides of the front that are cut: the fold is none of them. */
  cut: { left: boolean; right: boolean; top: boolean; bottom: boolean }
}

/**
 * The panel inside that is read first, behind the back, on the flat turned over sideways; turned as the back is.
 * Behind the front lies the other panel, which is the reverse of what was just opened.
 */
export function insidePanel({ widthMm, back }: Flat): BoxMm {
  return { ...back, x: widthMm - back.x - back.width }
}

/** The flat of a card: portrait has its fold at the front's left, landscape on top of it. */
export function layoutFlat({ foldedSideMm, foldLengthMm }: CardFormat, landscape: boolean): Flat {
  const half = foldedSideMm / 2
  if (landscape) {
    return {
      ...{ widthMm: foldLengthMm, heightMm: foldedSideMm, fold: 'level', backTurned: 180 },
      front: { x: 0, y: half, width: foldLengthMm, height: half },
      back: { x: 0, y: 0, width: foldLengthMm, height: half },
      cut: { left: true, right: true, top: false, bottom: true },
    }
  }
  return {
    ...{ widthMm: foldedSideMm, heightMm: foldLengthMm, fold: 'upright', backTurned: 0 },
    front: { x: half, y: 0, width: half, height: foldLengthMm },
    back: { x: 0, y: 0, width: half, height: foldLengthMm },
    cut: { left: false, right: true, top: true, bottom: true },
  }
}
