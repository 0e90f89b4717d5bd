import type { ReadContext } from '../../contract.js'
import { rememberFeatures } from '../place/features/featuresOf.js'
import { askWork } from '../WorkTask.js'
import type { Upright } from './Upright.js'
import { THUMB_PX, type View } from './View.js'

/** Pixels of a reduced view. */
const VIEW_PIXELS = 700_000

/** Every capture reduced by the same amount (in finest pixels), upright, with its structure. One pass over each. */
export async function takeViews(uprights: readonly Upright[], context: ReadContext): Promise<View[]> {
  const largest = Math.max(...uprights.map(({ width, height, scale }) => width * height * scale * scale))
  const cell = Math.max(1, Math.round(Math.sqrt(largest / VIEW_PIXELS)))
  const side =
    Math.max(...uprights.flatMap(({ width, height, scale }) => [width * scale, height * scale])) / cell
  const depth = 1 + Math.max(0, Math.ceil(Math.log2(side / THUMB_PX)))
  const taken = await askWork(
    context,
    'view',
    uprights.map((upright, index) => ({ index, upright, size: { cell, depth } })),
    (share) => context.progress(0.4 * share),
  )
  for (const { view, features } of taken) rememberFeatures(view, features)
  return taken.map(({ view }) => view)
}
