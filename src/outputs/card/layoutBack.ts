import { RequestError } from '../../errors.js'
import { MM_PER_INCH, toMm } from '../../units.js'
import type { PictureSize } from '../contract.js'
import type { BoxMm } from '../PdfDocument.js'
import { SAFE_MM } from '../shared/bleed.js'
import { mmWords, sizeWords } from '../shared/words.js'
import type { Flat } from './layoutFlat.js'
import type { CardParams } from './params.js'
import { FOOT_MM, textLines } from './textLines.js'

/** From the mark to the lines below it. */
const GAP_MM = 3

export interface Back {
  lines: ReturnType<typeof textLines>
  /** Where the mark stands; absent without one. */
  mark?: BoxMm
}

/**
 * The back of a card: its lines, and the mark in the middle above them.
 * @param at the flat's corner on the page
 * @param mark the mark's size in pixels, where there is one
 * @throws RequestError where lines or mark do not fit
 */
export function layoutBack(
  params: CardParams,
  { back, backTurned }: Flat,
  at: { x: number; y: number },
  mark: PictureSize | undefined,
): Back {
  const panel = { ...back, x: back.x + at.x, y: back.y + at.y }
  const lines = textLines(`card ${params.name}: back`, params.back, panel, backTurned)
  if (!params.mark || !mark) return { lines }
  const height = toMm(params.mark.height, params.ppi)
  const width = (height * mark.width) / mark.height
  const tops = lines.map(({ at: [, y], sizePt }) => {
    const up = backTurned === 0 ? panel.y + panel.height - y : y - panel.y
    return up + (sizePt / 72) * MM_PER_INCH
  })
  const foot = tops.length ? Math.max(...tops) + GAP_MM : FOOT_MM
  const room = { width: panel.width - 2 * SAFE_MM, height: panel.height - SAFE_MM - foot }
  if (!(height > 0) || width > room.width || height > room.height) {
    const most = Math.min(room.height, (room.width * mark.height) / mark.width)
    throw new RequestError({
      what: `card ${params.name}: the mark does not fit the back`,
      expected: `a height above 0 and at most ${mmWords(Math.max(0, Math.floor(most * 10) / 10))} mm`,
      found: sizeWords(width, height),
      todo: 'Make its height smaller, or shorten the lines below it',
    })
  }
  const y = backTurned === 0 ? panel.y + panel.height - foot - height : panel.y + foot
  return { lines, mark: { x: panel.x + (panel.width - width) / 2, y, width, height } }
}
