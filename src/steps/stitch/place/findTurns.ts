import { isTrusted, type Link } from './Link.js'

/**
 * By how much each capture lay turned beyond what is stated of it, as the links say from the strongest down; most captures
 * of the largest group are taken to lie as stated (the first of them where as many do not).
 */
export function findTurns(count: number, links: readonly Link[]): Link['quarter'][] {
  const group = Array.from({ length: count }, (_, i) => i)
  const turns = new Array<number>(count).fill(0)
  const order = links
    .filter(({ pair }) => isTrusted(pair))
    .sort((a, b) => b.pair.significance - a.pair.significance)
  for (const {
    pair: { first, second },
    quarter,
  } of order) {
    if (group[first] === group[second]) continue
    const [joining, change] = [group[second], turns[first] + quarter - turns[second]]
    for (const [i, g] of group.entries()) {
      if (g !== joining) continue
      turns[i] += change
      group[i] = group[first]
    }
  }
  const out = new Array<Link['quarter']>(count).fill(0)
  for (const g of new Set(group)) {
    const own = [...group.keys()].filter((i) => group[i] === g)
    const quarters = own.map((i) => ((turns[i] % 360) + 360) % 360)
    const times = (quarter: number) => quarters.filter((other) => other === quarter).length
    const upright = quarters.toSorted((a, b) => times(b) - times(a))[0]
    for (const [k, i] of own.entries()) out[i] = ((quarters[k] - upright + 360) % 360) as Link['quarter']
  }
  return out
}
