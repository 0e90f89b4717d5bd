import type { SharpnessReading } from '../Reading.js'
import type { Upright } from '../views/Upright.js'

/** A capture with less than this share of all its neighbours' fine contrast is out of focus; at one border it may just lift. */
const WARN_LEFT = 2 / 3
const WARN_NEIGHBOURS = 2
/** From this share of windows on a capture is said to be sharper all over, and below that it is not worth a word. */
const ALL_OVER = 0.9
const WORTH_SAYING = 0.25

/** Says which captures give way to sharper ones where they overlap, and warns about those out of focus. */
export function noteSharpness(
  uprights: readonly Upright[],
  sharpness: readonly SharpnessReading[],
  warnings: string[],
  statements: string[],
): void {
  for (const [i, { label }] of uprights.entries()) {
    const own = sharpness.filter(({ first, second }) => first === i || second === i)
    const sharper = own.flatMap(({ first, second, firstSharper, secondSharper }) => {
      const part = first === i ? secondSharper : firstSharper
      return part && part.share >= WORTH_SAYING ? [{ other: first === i ? second : first, ...part }] : []
    })
    if (!sharper.length) continue
    const words = sharper.map(({ other, share, left }) => {
      const where = share < ALL_OVER ? ` in ${percent(share)} of their overlap` : ''
      return `${uprights[other].label}${where} (${label} has ${percent(left)} of its fine contrast there)`
    })
    statements.push(`where they overlap, sharper captures are taken instead of ${label}: ${words.join(', ')}`)
    const soft = sharper.filter(({ share, left }) => share >= ALL_OVER && left < WARN_LEFT)
    if (soft.length >= WARN_NEIGHBOURS && soft.length === own.length) {
      const best = Math.max(...soft.map(({ left }) => left))
      warnings.push(
        `${label} is out of focus: it has at most ${percent(best)} of any neighbour’s fine contrast. They are taken where they overlap it, but what ${label} alone holds stays soft; capture it again if that shows`,
      )
    }
  }
}

const percent = (share: number) => `${(share * 100).toFixed(0)} %`
