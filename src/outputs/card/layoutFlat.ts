import type { BoxMm } from '../PdfDocument.js'
import type { CardFormat } from './formats.js'

/** A card before it is folded, its outside up; millimetres from the flat's top left corner, trimmed. */
export interface Flat {
  widthMm: number
  heightMm: number
  front: BoxMm
  back: BoxMm
  /** The back lies beside the front, on the outside, or on the other side of the sheet where nothing is folded. */
  backOn: 'outside' | 'reverse'
  /** Clockwise, as the back is turned against the front before folding. */
  backTurned: 0 | 180
  /** The fold runs down the middle (`upright`) or across it (`level`), where there is one. */
  fold: 'upright' | 'level' | 'none'
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
export function layoutFlat({ folded, longMm, shortMm }: CardFormat, landscape: boolean): Flat {
  const widthMm = landscape ? longMm : shortMm
  const heightMm = landscape ? shortMm : longMm
  const panel = { x: 0, y: 0, width: widthMm, height: heightMm }
  if (!folded) {
    return {
      ...{ widthMm, heightMm, fold: 'none', backOn: 'reverse', backTurned: 0, front: panel, back: panel },
      cut: { left: true, right: true, top: true, bottom: true },
    }
  }
  if (landscape) {
    return {
      ...{ widthMm, heightMm: 2 * heightMm, fold: 'level', backOn: 'outside', backTurned: 180 },
      ...{ front: { ...panel, y: heightMm }, back: panel },
      cut: { left: true, right: true, top: false, bottom: true },
    }
  }
  return {
    ...{ widthMm: 2 * widthMm, heightMm, fold: 'upright', backOn: 'outside', backTurned: 0 },
    ...{ front: { ...panel, x: widthMm }, back: panel },
    cut: { left: false, right: true, top: true, bottom: true },
  }
}
