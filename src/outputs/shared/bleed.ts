import { z } from 'zod'
import { RequestError } from '../../errors.js'
import type { Finding } from '../../findings.js'
import type { Rect } from '../../raster/Rect.js'
import { mmWords } from './words.js'

/** More bleed than this is a slip of the unit. */
const MOST_BLEED_MM = 20

/** Nothing that matters lies nearer to the trim; 3 to 5 mm are common practice. */
export const SAFE_MM = 5

export type Beyond = 'mirrored' | 'paper'

/** The param that says what bleeds where the picture ends. */
export function bleedBeyond() {
  return z
    .enum(['mirrored', 'paper'])
    .default('mirrored')
    .describe(
      'What bleeds where there is no more picture: the picture mirrored at its edge, or the bare paper.',
    )
}

/** @throws RequestError for a bleed of less than nothing or more than any print shop asks */
export function refuseBleed(what: string, bleedMm: number): void {
  if (bleedMm >= 0 && bleedMm <= MOST_BLEED_MM) return
  throw new RequestError({
    what: `${what}: bleed`,
    expected: `0 to ${MOST_BLEED_MM} mm, usually 3 mm`,
    found: `${mmWords(bleedMm)} mm`,
  })
}

/**
 * Whether the picture goes on into the bleed, and where there is no more of it.
 * @param crop what of the master is shown, bleed included, in its pixels
 * @param pxPerMm master pixels a millimetre on paper
 * @param beyond what bleeds where the master ends
 * @param cut the sides that bleed; all where left out
 */
export function bleedFindings(
  bleedMm: number,
  crop: Rect,
  pxPerMm: number,
  master: { width: number; height: number },
  beyond: Beyond,
  cut = { left: true, right: true, top: true, bottom: true },
): Finding[] {
  if (bleedMm === 0) return []
  const missing = [
    ['left', -crop.x],
    ['right', crop.x + crop.width - master.width],
    ['top', -crop.y],
    ['bottom', crop.y + crop.height - master.height],
  ] as const
  const ended = missing
    .map(([side, px]) => [side, px / pxPerMm] as const)
    .filter(([side, mm]) => cut[side] && mm > 0.01)
    .map(([side, mm]) => `${mmWords(mm)} mm at the ${side}`)
  const goesOn = `the ${mmWords(bleedMm)} mm of bleed go on with the picture`
  const text = ended.length
    ? `${goesOn}, ${BEYOND_WORDS[beyond]} where there is no more of it: ${ended.join(', ')}`
    : `${goesOn} on all sides`
  return [{ kind: 'statement', text }]
}

const BEYOND_WORDS: Record<Beyond, string> = {
  mirrored: 'mirrored at its edge',
  paper: 'and are bare paper',
}
