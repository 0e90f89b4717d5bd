import { RequestError } from '../../errors.js'
import type { CaptureInfo, Step } from '../contract.js'
import { savedReading } from '../savedReading.js'
import { flatFieldFindings } from './flatFieldFindings.js'
import { flattenedSource } from './flattenedSource.js'
import { type Params, params } from './params.js'
import { type Reading, reading as readingSchema } from './Reading.js'
import { readBoard } from './readBoard.js'

/** How much the board's proportions may differ from a capture's. */
const ASPECT_TOLERANCE = 0.01

/** Even light: every capture divided by the light measured on a blank board. */
export const flatField: Step<Params, Reading> = {
  name: 'flat-field',
  summary: 'evens out the lamp: divides each capture by the light measured on a blank board',
  scope: 'capture',
  params,

  auxiliaries({ board, reading }) {
    return [
      ...(reading ? [{ key: 'reading', path: reading, kind: 'text' as const }] : []),
      ...(board && !reading ? [{ key: 'board', path: board, kind: 'capture' as const }] : []),
    ]
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
      return { ...saved, reused: true }
    }
    const { source, info } = await context.auxiliaryCapture(given.board!)
    checkProportions(info.label, source.width, source.height, context.captures)
    return readBoard(source, info.label, given['black-level'], (share) => {
      context.checkCancelled()
      context.progress(share)
    })
  },

  apply(sources, reading) {
    return sources.map((source) => flattenedSource(source, reading))
  },

  findings: flatFieldFindings,
}

function checkProportions(
  board: string,
  width: number,
  height: number,
  captures: readonly CaptureInfo[],
): void {
  const problems = captures
    .filter((capture) => Math.abs(capture.width / capture.height / (width / height) - 1) > ASPECT_TOLERANCE)
    .map((capture) => ({
      where: board,
      what: `the board does not show the same frame as ${capture.label}`,
      expected: `the proportions of ${capture.width} x ${capture.height} pixels (within ${100 * ASPECT_TOLERANCE} %)`,
      found: `${width} x ${height}`,
      todo: 'Capture the board with the same frame as the sheet: same lens and distance, or the whole glass',
    }))
  if (problems.length > 0) throw new RequestError(problems)
}
