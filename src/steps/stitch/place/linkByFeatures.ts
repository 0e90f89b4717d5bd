import type { Lens } from '../../../raster/warp/Lens.js'
import type { ReadContext } from '../../contract.js'
import type { View } from '../views/View.js'
import { askWork } from '../WorkTask.js'
import { featuresOf } from './features/featuresOf.js'
import type { Link } from './Link.js'
import type { LinkRequest } from './linkOf.js'

/** Two captures that are to be compared. */
export type Wanted = (first: number, second: number) => boolean

/**
 * Links between captures whose features agree on how one lies on the other: a homography for frames, a turn, shift and
 * scale near 1 for flatbeds.
 * @param lens of the frames, once it is known
 */
export async function linkByFeatures(
  views: readonly View[],
  context: ReadContext,
  wanted: Wanted = () => true,
  lens?: Lens,
): Promise<Link[]> {
  const requests: LinkRequest[] = []
  for (let first = 0; first < views.length; first++) {
    for (let second = first + 1; second < views.length; second++) {
      if (!wanted(first, second)) continue
      const pair = [views[first], views[second]] as const
      const features = [featuresOf(pair[0]), featuresOf(pair[1])] as const
      requests.push({ first, second, views: pair, features, kind: context.kind, ...(lens ? { lens } : {}) })
    }
  }
  const links = await askWork(context, 'link', requests)
  return links.filter((link) => link !== undefined)
}
