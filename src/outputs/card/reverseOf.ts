import { type Flat, insidePanel } from './layoutFlat.js'
import type { CardParams } from './params.js'
import { textLines } from './textLines.js'

/** What the other side of the print sheet shows: a folded card's inside, a flat card's back, or nothing. */
export function reverseOf(
  { inside, back, mark }: CardParams,
  { backOn }: Flat,
): 'inside' | 'back' | undefined {
  if (backOn === 'outside') return inside === 'blank' ? undefined : 'inside'
  return back.trim() || mark ? 'back' : undefined
}

/** The line inside a card, in the middle of the panel that is read first; none where the inside is blank. */
export function insideLines({ name, inside }: CardParams, flat: Flat, at: { x: number; y: number }) {
  if (inside === 'blank') return []
  const panel = insidePanel(flat)
  const placed = { ...panel, x: panel.x + at.x, y: panel.y + at.y }
  return textLines(`card ${name}: inside`, inside.line, placed, flat.backTurned, panel.height / 2)
}
