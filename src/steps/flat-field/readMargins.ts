import { RequestError, WorkError } from '../../errors.js'
import type { ReadContext } from '../contract.js'
import { findPaper } from '../shared/paper/findPaper.js'
import { measureWindow, type PaperWindow } from '../shared/paper/PaperWindow.js'
import { windowsOver } from '../shared/paper/windowsOver.js'
import { bilinear, describeField, type Grid, gridFor } from './lampField.js'
import { chooseSurface } from './margins/chooseSurface.js'
import { type LightSurface, lightAt } from './margins/fitLight.js'
import type { Reading } from './Reading.js'
import type { DarkFrames } from './readDark.js'

/** Windows looked at in all, and at least in each capture; and asked for at once. */
const MOST_WINDOWS = 1200
const FEWEST_A_CAPTURE = 240
const WINDOWS_A_BATCH = 96
/** Less of the frame than this near blank paper, and the rest is anybody's guess. */
const FEWEST_COVERED_PERCENT = 30
/** Paper this near (in frames) covers a place. */
const NEAR = 0.15
/** What a surface of second degree misses of a lamp's shape itself, RMS over the frame; on the painter's lamp. */
const SHAPE_PERCENT = 0.15
/** Blue against red over the frame, log2. */
const TINT_RANGE = 0.08
const WARN = { unsurePercent: 1.5, coveredPercent: 50 }

/**
 * Measures the lamp field on the sheet's own blank paper, all captures together: they lay under the same lamp, so that
 * what one hides with paint another may show. One surface of low degree is laid through the paper; what differs from
 * place to place in the paper itself is taken for light, and where no paper shows the surface is a guess: less sure than
 * a board, and by how much is measured.
 * @throws WorkError where there is too little blank paper; RequestError where the captures show different frames
 */
export async function readMargins(
  context: ReadContext,
  { level, dark }: { level: number; dark?: DarkFrames },
): Promise<Reading> {
  const { captures } = context
  const [first] = captures
  checkSameFrame(context)
  const grid = gridFor(first)
  const windows = await measureWindows(context, grid, level, dark)
  const paper = findPaper(windows)
  // A camera may change its exposure from frame to frame; a flatbed does not.
  const own = context.kind === 'camera'
  const present = [...new Set(paper.map(({ capture }) => capture))]
  const levelOf = ({ capture }: PaperWindow) => (own ? present.indexOf(capture) : 0)
  const chosen = chooseSurface(paper, own ? present.length : 1, levelOf)
  const covered = chosen ? coveredPercent(chosen.used) : 0
  if (!chosen || covered < FEWEST_COVERED_PERCENT) throw tooLittlePaper(covered, paper.length, windows.length)
  const { surface, used, deviations } = chosen
  const fields = [0, 1, 2].map((c) =>
    Float64Array.from({ length: grid.columns * grid.rows }, (_, k) => {
      const u = (k % grid.columns) / (grid.columns - 1)
      const v = Math.floor(k / grid.columns) / (grid.rows - 1)
      return 2 ** lightAt(surface, c, u, v)
    }),
  )
  const { brightest: _, ...field } = describeField(fields, grid)
  const sorted = Float64Array.from(deviations, (d) => 2 ** d).sort()
  const percent = (log2: number) => 100 * (2 ** log2 - 1)
  const margins: Reading['margins'] = {
    windows: used.length,
    coveredPercent: covered,
    degree: surface.degree,
    leftOutPercent: percent(chosen.leftOut),
    unsurePercent: Math.hypot(percent(chosen.unsure), SHAPE_PERCENT),
    places: used.map(({ u, v }): [number, number] => [Number(u.toFixed(3)), Number(v.toFixed(3))]),
  }
  return {
    ...{ format: 1, board: named(captures), basis: 'margins' },
    ...{ widthPx: first.width, heightPx: first.height },
    ...{ blackLevel: dark ? 0 : level, ...(dark && { dark: dark.dark }) },
    ...field,
    remainingPercent:
      100 * (sorted[Math.floor(0.98 * (sorted.length - 1))] - sorted[Math.ceil(0.02 * (sorted.length - 1))]),
    marksPercent: (100 * (paper.length - used.length)) / paper.length,
    margins,
    warnings: [...warningsOf(margins), ...tintWarning(surface, used)],
  }
}

/** `a.tif`, or `a.tif and 3 more`. */
const named = ([first, ...more]: ReadContext['captures']) =>
  more.length === 0 ? first.label : `${first.label} and ${more.length} more`

function warningsOf({ unsurePercent, coveredPercent }: NonNullable<Reading['margins']>): string[] {
  const unsure = [
    ...(unsurePercent > WARN.unsurePercent
      ? [
          `it moves by ${unsurePercent.toFixed(1)} % as the paper of one part of the frame or another is left out`,
        ]
      : []),
    ...(coveredPercent < WARN.coveredPercent
      ? [`only ${coveredPercent.toFixed(0)} % of the frame lies near blank paper`]
      : []),
  ]
  return unsure.length === 0
    ? []
    : [
        `The light was measured on the sheet's own blank paper, and is not well known: ${unsure.join('; ')}. Capture a blank board to be sure`,
      ]
}

/** A paper whose tint runs over the sheet has aged or is washed: a lamp's light changes in strength, hardly in colour. */
function tintWarning(surface: LightSurface, used: readonly PaperWindow[]): string[] {
  const tints = used.map(({ u, v }) => lightAt(surface, 2, u, v) - lightAt(surface, 0, u, v))
  const range = Math.max(...tints) - Math.min(...tints)
  return range > TINT_RANGE
    ? [
        `The blank paper changes its tint across the frame (blue against red by ${(100 * (2 ** range - 1)).toFixed(0)} %): that is its age or a wash rather than the lamp, and would be taken away with it. Capture a blank board, or leave flat-field out`,
      ]
    : []
}

function tooLittlePaper(covered: number, found: number, looked: number): WorkError {
  return new WorkError({
    where: 'flat-field',
    what: 'no board is named, and the captures show too little blank paper to measure the light on',
    expected: `blank paper near at least ${FEWEST_COVERED_PERCENT} % of the frame, of one tone`,
    found:
      covered > 0
        ? `${covered.toFixed(0)} %`
        : `${found} of ${looked} places looked at could be paper, and no smooth light runs through them`,
    todo: 'Capture a blank board in place of the sheet and name it (board:), or leave flat-field out',
  })
}

async function measureWindows(
  context: ReadContext,
  grid: Grid,
  level: number,
  dark: DarkFrames | undefined,
): Promise<PaperWindow[]> {
  const windows: PaperWindow[] = []
  const share = Math.max(FEWEST_A_CAPTURE, MOST_WINDOWS / context.captures.length)
  for (const [capture, { width, height }] of context.captures.entries()) {
    const rects = windowsOver({ width, height }, share)
    for (let i = 0; i < rects.length; i += WINDOWS_A_BATCH) {
      context.checkCancelled()
      const tiles = await context.regions(capture, rects.slice(i, i + WINDOWS_A_BATCH))
      for (const tile of tiles) {
        const u = (tile.rect.x + tile.rect.width / 2) / width
        const v = (tile.rect.y + tile.rect.height / 2) / height
        const black = [0, 1, 2].map((c) =>
          dark ? bilinear(dark.dark.levels[c], grid, u * (grid.columns - 1), v * (grid.rows - 1)) : level,
        )
        windows.push(measureWindow(tile, { capture, u, v }, black))
      }
    }
    context.progress((capture + 1) / context.captures.length)
  }
  return windows
}

/** Share of the frame that has blank paper near it, percent. */
function coveredPercent(used: readonly PaperWindow[]): number {
  const cells = 16
  let near = 0
  for (let j = 0; j < cells; j++) {
    for (let i = 0; i < cells; i++) {
      const [u, v] = [(i + 0.5) / cells, (j + 0.5) / cells]
      if (used.some((window) => Math.hypot(window.u - u, window.v - v) < NEAR)) near++
    }
  }
  return (100 * near) / cells ** 2
}

function checkSameFrame({ captures: [first, ...more] }: ReadContext): void {
  const problems = more
    .filter(({ width, height }) => Math.abs(width / height / (first.width / first.height) - 1) > 0.01)
    .map(({ label, width, height }) => ({
      where: label,
      what: `it does not show the same frame as ${first.label}, so that one light cannot be measured on both`,
      expected: `the proportions of ${first.width} x ${first.height} pixels`,
      found: `${width} x ${height}`,
      todo: 'Name a capture of a blank board (board:), or leave flat-field out',
    }))
  if (problems.length > 0) throw new RequestError(problems)
}
