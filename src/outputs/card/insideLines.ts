import { type Flat, insidePanel } from './layoutFlat.js'
import type { CardParams } from './params.js'
import { textLines } from './textLines.js'

/** The line inside a card, in the middle of the panel that is read first; none where the inside is blank. */
export function insideLines({ name, inside }: CardParams, flat: Flat, at: { x: number; y: number }) {
  if (inside === 'blank') return []
  const panel = insidePanel(flat)
  const placed = { ...panel, x: panel.x + at.x, y: panel.y + at.y }
  return textLines(`card ${name}: inside`, inside.line, placed, flat.backTurned, panel.height / 2)
}
