import { RequestError } from '../../errors.js'
import { type BoardView, boardViews, checkSameSize, type Opener } from './boardView.js'
import { bilinear, blocksOf, type Grid, gridFor, rounded, smoothFields } from './lampField.js'
import type { Reading } from './Reading.js'

/** A dark frame brighter than this holds light; share of full scale. */
const DARK_MOST = 0.1

export interface DarkFrames {
  dark: NonNullable<Reading['dark']>
  views: BoardView[]
}

/**
 * What the device gives without light, measured on captures taken without any.
 * The levels are smoothed: a dark frame's own noise would else be added to every capture.
 * @throws RequestError where there is light in them
 */
export async function readDark(
  captures: readonly Opener[],
  onStrip: (share: number) => void,
): Promise<DarkFrames> {
  const views = await boardViews(captures, onStrip)
  checkSameSize(views)
  // Exposures are not evened out here: a dark frame's level is what is asked for.
  const planes = views[0].planes.map((first, c) =>
    first.map((_, p) => views.reduce((sum, view) => sum + view.planes[c][p], 0) / views.length),
  )
  const grid = gridFor(views[0])
  const fields = smoothFields(blocksOf({ ...views[0], planes }), grid)
  const most = Math.max(...fields.map((field) => field.reduce((a, b) => Math.max(a, b))))
  if (most > DARK_MOST) {
    throw new RequestError({
      where: views.map(({ label }) => label).join(', '),
      what: 'there is light in the dark frame',
      expected: `at most ${100 * DARK_MOST} % of full scale everywhere`,
      found: `${(100 * most).toFixed(0)} %`,
      todo: 'Capture it with the lens covered, or with the lamp off in a dark room',
    })
  }
  const levels = fields.map((field) => Array.from(field, rounded)) as Reading['gains']
  return { dark: { label: views.map(({ label }) => label).join(', '), levels }, views }
}

/** Planes of a view with the dark levels and the black level taken off. */
export function withoutBlack(
  { planes, width, height }: BoardView,
  grid: Grid,
  dark: Reading['dark'],
  blackLevel: number,
): Float32Array[] {
  return planes.map((plane, c) =>
    plane.map((value, p) => {
      if (!dark) return value - blackLevel
      const u = (((p % width) + 0.5) / width) * (grid.columns - 1)
      const v = ((Math.floor(p / width) + 0.5) / height) * (grid.rows - 1)
      return value - bilinear(dark.levels[c], grid, u, v)
    }),
  )
}
