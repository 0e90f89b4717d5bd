import { RequestError } from '../../errors.js'
import type { CaptureInfo, ReadContext, Step } from '../contract.js'
import { savedReading } from '../savedReading.js'
import { checkSession, sessionOf } from '../session.js'
import type { Opener } from './boardView.js'
import { flatFieldFindings } from './flatFieldFindings.js'
import { flattenedSource } from './flattenedSource.js'
import { otherSettings, type Taken } from './otherSettings.js'
import { type Params, params } from './params.js'
import { type Reading, reading as readingSchema } from './Reading.js'
import { readBoards } from './readBoards.js'
import { readDark } from './readDark.js'
import { readMargins } from './readMargins.js'

/** How much the board's proportions may differ from a capture's. */
const ASPECT_TOLERANCE = 0.01

/** Even light: every capture divided by the light measured on a blank board, or on the sheet's own blank paper. */
export const flatField: Step<Params, Reading> = {
  name: 'flat-field',
  summary:
    "evens out the lamp: divides each capture by the light measured on a blank board, or on the sheet's own blank paper",
  scope: 'capture',
  effort: { read: 0.4, apply: 0.006 },
  params,

  auxiliaries({ board, dark, reading }) {
    if (reading) return [{ key: 'reading', path: reading, kind: 'text' as const }]
    const named = { board: board ?? [], dark: dark ?? [] }
    return Object.entries(named).flatMap(([key, paths]) =>
      paths.map((path, i) => ({
        key: paths.length > 1 ? `${key}.${i}` : key,
        path,
        kind: 'capture' as const,
      })),
    )
  },

  async read(_sources, given, context) {
    if (given.reading) {
      const saved = savedReading(
        await context.auxiliaryText(given.reading),
        given.reading,
        'flat-field',
        readingSchema,
      )
      checkProportions(saved.board, saved.widthPx, saved.heightPx, context.captures)
      const told = { where: given.reading, step: 'flat-field', anyway: given['trust-reading'] }
      const reuse = checkSession(saved.session, sessionOf(context.captures), told)
      return { ...saved, reused: true, reuse }
    }
    const [boardsTaken, darksTaken]: [Taken[], Taken[]] = [[], []]
    const openers = (paths: readonly string[] = [], taken: Taken[]) =>
      paths.map((path) => opener(path, context, taken))
    const darks = openers(given.dark, darksTaken)
    const dark = darks.length > 0 ? await readDark(darks, onShare(context, 0, 0.3)) : undefined
    const black = { level: given['black-level'], dark }
    const reading = given.board
      ? await readBoards(openers(given.board, boardsTaken), black, onShare(context, 0.3, 1))
      : await readMargins(context, black)
    const warnings = [...reading.warnings, ...otherSettings(boardsTaken, darksTaken, context.captures)]
    return { ...reading, warnings, session: sessionOf(context.captures) }
  },

  apply(sources, reading) {
    return sources.map((source) =>
      sameProportions(source.width, source.height, reading.widthPx, reading.heightPx)
        ? flattenedSource(source, reading)
        : source,
    )
  },

  findings: flatFieldFindings,

  // Paper is no neutral: it has a tint of its own. A reading of an earlier run shows that run's light.
  neutral({ basis, board, brightest, reused }) {
    return basis === 'board' && brightest && !reused ? { label: board, linear: brightest } : undefined
  },

  unsuited({ widthPx, heightPx }, { width, height }) {
    return sameProportions(width, height, widthPx, heightPx)
      ? undefined
      : `its ${width} x ${height} pixels show another frame than the ${widthPx} x ${heightPx} in which the light was measured, so that its light was not evened out`
  },
}

/** Opens a board or a dark frame, notes how it was taken, and checks that it shows the captures' frame. */
const opener =
  (path: string, context: ReadContext, taken: Taken[]): Opener =>
  async () => {
    const { source, info } = await context.auxiliaryCapture(path)
    taken.push({ label: info.label, conditions: info.conditions })
    checkProportions(info.label, source.width, source.height, context.captures)
    return { source, label: info.label }
  }

const onShare = (context: ReadContext, from: number, to: number) => (share: number) => {
  context.checkCancelled()
  context.progress(from + (to - from) * share)
}

const sameProportions = (width: number, height: number, otherWidth: number, otherHeight: number) =>
  Math.abs(width / height / (otherWidth / otherHeight) - 1) <= ASPECT_TOLERANCE

function checkProportions(
  board: string,
  width: number,
  height: number,
  captures: readonly CaptureInfo[],
): void {
  const problems = captures
    .filter((capture) => !sameProportions(capture.width, capture.height, width, height))
    .map((capture) => ({
      where: board,
      what: `the board does not show the same frame as ${capture.label}`,
      expected: `the proportions of ${capture.width} x ${capture.height} pixels (within ${100 * ASPECT_TOLERANCE} %)`,
      found: `${width} x ${height}`,
      todo: 'Capture the board with the same frame as the sheet: same lens and distance, or the whole glass',
    }))
  if (problems.length > 0) throw new RequestError(problems)
}
