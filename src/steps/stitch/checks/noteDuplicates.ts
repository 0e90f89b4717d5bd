import { between, overlap } from '../place/overlap.js'
import type { Placing } from '../place/placeCaptures.js'
import type { Upright } from '../views/Upright.js'

/** Warns about captures of the same place, lying the same way: the second adds nothing. */
export function noteDuplicates(
  uprights: readonly Upright[],
  { pairs, placements }: Placing,
  warnings: string[],
): void {
  for (const { first, second } of pairs) {
    const [a, b] = [uprights[first], uprights[second]]
    const map = between(placements[first]!, placements[second]!)
    const { areaPx } = overlap(a, b, map)
    const area = (u: Upright) => u.width * u.height * u.scale * u.scale
    if (a.turned === b.turned && areaPx > 0.97 * Math.max(area(a), area(b))) {
      warnings.push(
        `${b.label} shows the same place as ${a.label} and lay the same way: it adds nothing. Take it out, or state turned if the sheet was turned`,
      )
    }
  }
}
