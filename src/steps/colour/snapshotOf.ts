import { mapPoint } from './find/homography.js'
import type { LocatedChart } from './locateChart.js'
import type { ChartReading } from './Reading.js'
import { readCorners } from './samplePatch.js'
import { takeSnapshot } from './snapshot.js'

/** Charts of more patches are shown larger, with this longest side. */
const MANY_PATCHES = 60
const LARGE_SIDE_PX = 560

/** How far the picture reaches beyond the outermost patches' centres, in patch distances. */
const MARGIN = 0.9

/** The chart with a margin, and what is read of each patch, in the snapshot's pixels. */
export function snapshotOf({
  layout: { patches },
  toPicture,
  patchShare,
  view,
}: LocatedChart): ChartReading['snapshot'] {
  const columns = patches.map(({ at }) => at[0])
  const rows = patches.map(({ at }) => at[1])
  const [left, right] = [Math.min(...columns) - MARGIN, Math.max(...columns) + MARGIN]
  const [top, bottom] = [Math.min(...rows) - MARGIN, Math.max(...rows) + MARGIN]
  const outer = [
    [left, top],
    [right, top],
    [right, bottom],
    [left, bottom],
  ].map(([u, v]) => mapPoint(toPicture, [u, v]).map((value) => value / view.factor))
  const clamp = (value: number, most: number) => Math.min(most, Math.max(0, Math.round(value)))
  const xs = outer.map(([x]) => clamp(x, view.width))
  const ys = outer.map(([, y]) => clamp(y, view.height))
  const [x, y] = [Math.min(...xs), Math.min(...ys)]
  const crop = { x, y, width: Math.max(...xs) - x, height: Math.max(...ys) - y }
  const { snapshot, scale } = takeSnapshot(
    view,
    crop,
    patches.length > MANY_PATCHES ? LARGE_SIDE_PX : undefined,
  )
  const outlines = patches.map(({ at }) =>
    readCorners(toPicture, patchShare, at[0], at[1]).map(([px, py]): [number, number] => [
      (px / view.factor - x) * scale,
      (py / view.factor - y) * scale,
    ]),
  )
  return { ...snapshot, outlines }
}
