import { RequestError } from '../../errors.js'
import { reducedSource } from '../../raster/reducedSource.js'
import type { Source } from '../../raster/Source.js'

/** Longest side of a board's reduced view. */
const VIEW_SIDE_PX = 640

/** Numbers this close to the end of the scale are clipped. */
const FULL_SCALE = 0.998
const CLIPPED_MOST_PERCENT = 20

/** A board made small: averaged over blocks of `factor` x `factor` pixels. */
export interface BoardView {
  label: string
  planes: readonly Float32Array[]
  /** Of the view. */
  width: number
  height: number
  /** Of the capture. */
  widthPx: number
  heightPx: number
  factor: number
  clippedPercent: number
}

/** Opens a capture that is looked at as a whole; one is held at a time, as each may have hundreds of megabytes. */
export type Opener = () => Promise<{ label: string; source: Source }>

/**
 * The reduced view of a board or a dark frame.
 * @throws RequestError where much of it is clipped
 */
async function boardView(open: Opener, onStrip: (share: number) => void): Promise<BoardView> {
  const { label, source } = await open()
  const factor = Math.max(1, Math.ceil(Math.max(source.width, source.height) / VIEW_SIDE_PX))
  const { rect, planes } = await reducedSource(source, factor, onStrip)
  const clipped = planes[1].filter((_, p) => planes.every((plane) => plane[p] >= FULL_SCALE)).length
  const clippedPercent = (100 * clipped) / planes[1].length
  if (clippedPercent > CLIPPED_MOST_PERCENT) {
    throw new RequestError({
      where: label,
      what: 'the board is clipped: its light is beyond the end of the scale and cannot be measured',
      found: `${clippedPercent.toFixed(0)} % of it at full scale`,
      todo: 'Capture the board again with less exposure',
    })
  }
  return {
    ...{ label, planes, width: rect.width, height: rect.height, factor, clippedPercent },
    ...{ widthPx: source.width, heightPx: source.height },
  }
}

/** The views of several, one after the other. */
export async function boardViews(
  openers: readonly Opener[],
  onStrip: (share: number) => void,
): Promise<BoardView[]> {
  const views: BoardView[] = []
  for (const open of openers) {
    views.push(await boardView(open, (share) => onStrip((views.length + share) / openers.length)))
  }
  return views
}

/**
 * Checks that views that are laid upon each other show the same frame at the same size.
 * @throws RequestError naming those that do not
 */
export function checkSameSize([first, ...more]: readonly BoardView[]): void {
  const problems = more
    .filter(({ widthPx, heightPx }) => widthPx !== first.widthPx || heightPx !== first.heightPx)
    .map(({ label, widthPx, heightPx }) => ({
      where: label,
      what: `it has another size than ${first.label}; only boards and dark frames of one size can be laid upon each other`,
      expected: `${first.widthPx} x ${first.heightPx} pixels`,
      found: `${widthPx} x ${heightPx}`,
      todo: 'Capture them all with the same frame and resolution',
    }))
  if (problems.length > 0) throw new RequestError(problems)
}
