import type { ReadContext } from '../../contract.js'
import { matchByView } from '../refine/matchByView.js'
import type { View } from '../views/View.js'
import { comparePair } from './comparePair.js'
import { spectraOf, transformSize } from './findCandidates.js'
import type { Link } from './Link.js'
import type { Wanted } from './linkByFeatures.js'

/** Links between flatbed captures by trying every shift and turn of one on the other, at one level of the views. */
export function linkBySearch(
  views: readonly View[],
  context: ReadContext,
  level: number,
  wanted: Wanted,
): Link[] {
  const size = transformSize(views.map(({ levels }) => levels[level]))
  const spectra = new Map<number, ReturnType<typeof spectraOf>>()
  const spectraOfView = (i: number) => {
    context.checkCancelled()
    const known = spectra.get(i) ?? spectraOf(views[i], views[i].levels[level], size)
    spectra.set(i, known)
    return known
  }
  const links: Link[] = []
  for (let i = 0; i < views.length; i++) {
    for (let j = i + 1; j < views.length; j++) {
      if (!wanted(i, j)) continue
      const pair = comparePair(spectraOfView(i), spectraOfView(j), [i, j])
      if (pair) links.push({ pair, matches: matchByView(views, pair), quarter: 0 })
    }
  }
  return links
}
