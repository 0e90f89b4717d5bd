import type { ReadContext } from '../../contract.js'
import { labAt80 } from '../../session.js'
import { measureWindow } from '../../shared/paper/PaperWindow.js'
import { windowsOver } from '../../shared/paper/windowsOver.js'
import type { Fit } from '../fit/Fit.js'
import { corrected } from '../fit/terms.js'
import { otherLightWords } from './otherLight.js'
import { paperTone } from './paperTone.js'

const WINDOWS = 250
const NO_BLACK = [0, 0, 0]
/**
 * No paper is further from neutral than this (a*b* at L* 80): papers age towards yellow and brown, hue angles 30 to 120
 * degrees, and brightened ones are a little blue; common practice.
 */
const MOST_TINT = { warm: 24, other: 10 }
const WARM_DEG = { from: 30, to: 120 }

/**
 * Where no board shows the painting's light: whether its unpainted paper, corrected by the chart, is of a colour that
 * paper has.
 * @returns a warning where it is not, with the size of it
 */
export async function paperTint(chart: string, fit: Fit, context: ReadContext): Promise<string[]> {
  const tints: { label: string; a: number; b: number }[] = []
  for (const [capture, info] of context.captures.entries()) {
    context.checkCancelled()
    const tiles = await context.regions(capture, windowsOver(info, WINDOWS))
    const tone = paperTone(
      tiles.map((tile) => {
        const { x, y, width, height } = tile.rect
        const place = { capture, u: (x + width / 2) / info.width, v: (y + height / 2) / info.height }
        return measureWindow(tile, place, NO_BLACK)
      }),
    )
    if (!tone) continue
    const [, a, b] = labAt80(corrected(fit, tone))
    tints.push({ label: info.label, a, b })
  }
  // The least tinted one speaks for all: a capture may hold no paper, and its lightest wash was taken for it.
  const [least] = tints.sort((p, q) => Math.hypot(p.a, p.b) - Math.hypot(q.a, q.b))
  if (!least) return []
  const tint = Math.hypot(least.a, least.b)
  const hueDeg = (Math.atan2(least.b, least.a) * 180) / Math.PI
  const warm = hueDeg >= WARM_DEG.from && hueDeg <= WARM_DEG.to
  return tint > (warm ? MOST_TINT.warm : MOST_TINT.other)
    ? [otherLightWords(chart, `the unpainted paper (${least.label}), corrected by the chart,`, tint)]
    : []
}
