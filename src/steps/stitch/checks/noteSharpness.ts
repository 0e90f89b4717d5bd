import type { SharpnessReading } from '../Reading.js'
import type { Upright } from '../views/Upright.js'

/** A capture with less than this share of all its neighbours' fine contrast is out of focus; at one border it may just lift. */
const WARN_LEFT = 2 / 3
const WARN_NEIGHBOURS = 2
/** From this share of windows on a capture is said to be sharper all over; less of either is in the table alone. */
const ALL_OVER = 0.9
const WORTH_SHARE = 0.25
const WORTH_LEFT = 0.9

/** Says which captures give way to sharper ones where they overlap, and warns about those out of focus. */
export function noteSharpness(
  uprights: readonly Upright[],
  sharpness: readonly SharpnessReading[],
  warnings: string[],
  statements: string[],
): void {
  const found = sharpness.flatMap(({ first, second, firstSharper, secondSharper }) => [
    ...(firstSharper ? [{ sharp: first, soft: second, ...firstSharper }] : []),
    ...(secondSharper ? [{ sharp: second, soft: first, ...secondSharper }] : []),
  ])
  if (!found.length) return
  const words = found
    .filter(({ share, left }) => share >= WORTH_SHARE && left <= WORTH_LEFT)
    .map(({ sharp, soft, share, left }) => {
      const where = share < ALL_OVER ? ` in ${percent(share)} of their overlap` : ''
      return `${uprights[sharp].label} over ${uprights[soft].label}${where} (which has ${percent(left)} of its fine contrast)`
    })
  const taken = words.length ? `: ${words.join(', ')}` : '; they differ by little'
  statements.push(`where captures overlap the sharper one is taken${taken}`)
  for (const [i, { label }] of uprights.entries()) {
    const pairs = sharpness.filter(({ first, second }) => first === i || second === i).length
    const softer = found.filter(
      ({ soft, share, left }) => soft === i && share >= ALL_OVER && left < WARN_LEFT,
    )
    if (softer.length < WARN_NEIGHBOURS || softer.length < pairs) continue
    const best = Math.max(...softer.map(({ left }) => left))
    warnings.push(
      `${label} is out of focus: it has at most ${percent(best)} of any neighbour’s fine contrast. Its neighbours are taken where they overlap it, but what ${label} alone holds stays soft; capture it again if that shows`,
    )
  }
}

const percent = (share: number) => `${(share * 100).toFixed(0)} %`
