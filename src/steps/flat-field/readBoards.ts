import { RequestError } from '../../errors.js'
import { type BoardView, boardViews, checkSameSize, type Opener } from './boardView.js'
import { judgeBoard, MARK_PERCENT } from './judgeBoard.js'
import { blocksOf, describeField, gridFor, smoothFields } from './lampField.js'
import { luminance } from './luminance.js'
import { overlaid } from './overlaid.js'
import type { Reading } from './Reading.js'
import { type DarkFrames, withoutBlack } from './readDark.js'

/** A board dimmer than this at its brightest has too much noise to divide by; share of full scale. */
const DIM = 0.02
const DARK = 0.1

/** More marks than this, and it is no blank board. */
const MARKS_WARN_PERCENT = 2
const MARKS_MOST_PERCENT = 15
/** Marks that lie in the same place on every board were not moved: this share of them is left after the median. */
const UNMOVED_SHARE = 0.6
const UNMOVED_PERCENT = 0.2

/** Boards that differ by more than this show a lamp that changed, or a board that is not even. */
const DIFFER_PERCENT = 2

/** A lamp field that varies by more than this factor is not one that dividing can save. */
const STEEP = 8

/**
 * Measures the lamp field on captures of a blank board.
 * @param boards one, or several of one size with the board moved in between
 * @param black.level share of full scale, taken off where there is no dark frame
 * @throws RequestError where a board is too dark, clipped, or not blank
 */
export async function readBoards(
  boards: readonly Opener[],
  { level, dark }: { level: number; dark?: DarkFrames },
  onStrip: (share: number) => void,
): Promise<Reading> {
  const views = await boardViews(boards, onStrip)
  checkSameSize([...views, ...(dark?.views ?? [])])
  const [first] = views
  const grid = gridFor(first)
  const lit = views.map((view) => withoutBlack(view, grid, dark?.dark, level))
  const { planes, differPercent } = overlaid(lit)
  const blocks = blocksOf({ ...first, planes })
  const fields = smoothFields(blocks, grid)
  const label = views.map((view) => view.label).join(', ')
  checkLight(label, fields)
  const { marksPercent, remainingPercent } = judgeBoard(blocks, fields, grid)
  if (marksPercent > MARKS_MOST_PERCENT) throw notBlank(label, marksPercent)
  const single = views.length === 1 ? marksPercent : mean(lit.map((view) => singleMarks(view, planes)))
  const reading: Reading = {
    ...{ format: 1, board: label, basis: 'board', widthPx: first.widthPx, heightPx: first.heightPx },
    ...{ blackLevel: dark ? 0 : level, ...(dark && { dark: dark.dark }) },
    ...describeField(fields, grid),
    ...{ remainingPercent, marksPercent, warnings: [] },
    ...(views.length > 1 && { boards: { count: views.length, marksPercent: single, differPercent } }),
  }
  return { ...reading, warnings: warningsOf(reading, views) }
}

/** Share of one board that stands out from all of them together, percent of the view's pixels. */
function singleMarks([, green]: readonly Float32Array[], [, all]: readonly Float32Array[]): number {
  const ratios = green.map((value, p) => value / all[p])
  const usual = Float32Array.from(ratios).sort()[ratios.length >> 1]
  const marks = ratios.filter((ratio) => Math.abs(ratio / usual - 1) > MARK_PERCENT / 100).length
  return (100 * marks) / ratios.length
}

function warningsOf(
  { board, brightest, marksPercent, boards }: Reading,
  views: readonly BoardView[],
): string[] {
  const top = luminance(...brightest!)
  const clipped = views.filter(({ clippedPercent }) => clippedPercent > 0.1)
  return [
    ...(top < DARK
      ? [
          `${board}: the board is dark (${(100 * top).toFixed(0)} % of full scale at its brightest); its noise goes into every capture. Capture it with more exposure`,
        ]
      : []),
    ...clipped.map(
      ({ label, clippedPercent }) =>
        `${label}: ${clippedPercent.toFixed(1)} % of the board is clipped; the lamp is underrated there. Capture it with less exposure`,
    ),
    ...(marksPercent > MARKS_WARN_PERCENT
      ? [
          `${board}: ${marksPercent.toFixed(1)} % of the board stands out from the smooth light (dust, marks, an edge); it was left out of the measurement. Clean the board, or move it and capture again`,
        ]
      : []),
    ...(boards && marksPercent > UNMOVED_PERCENT && boards.marksPercent < UNMOVED_SHARE * marksPercent
      ? [
          `${board}: the same marks show in every capture of the board. Move the board between the captures, so that they can be told from the light`,
        ]
      : []),
    ...(boards && boards.differPercent > DIFFER_PERCENT
      ? [
          `${board}: the captures of the board differ by ${boards.differPercent.toFixed(1)} % from one another; the lamp changed between them, or the board is not even`,
        ]
      : []),
  ]
}

function checkLight(label: string, fields: readonly Float64Array[]): void {
  const light = fields[0].map((_, k) => luminance(fields[0][k], fields[1][k], fields[2][k]))
  const brightest = light.reduce((a, b) => Math.max(a, b))
  const darkest = light.reduce((a, b) => Math.min(a, b))
  const dimmest = Math.min(...fields.map((field) => field.reduce((a, b) => Math.min(a, b))))
  if (brightest < DIM || !(dimmest > 0)) {
    throw new RequestError({
      where: label,
      what: 'the board is too dark to measure the lamp on',
      expected: `at least ${100 * DIM} % of full scale at its brightest, and light everywhere`,
      found: `${(100 * brightest).toFixed(1)} % at its brightest, ${(100 * darkest).toFixed(1)} % at its darkest`,
      todo: 'Capture the board with more exposure; check black-level and dark',
    })
  }
  if (brightest / darkest > STEEP) {
    throw new RequestError({
      where: label,
      what: 'the board is too unevenly lit to be a lamp field',
      expected: `at most ${STEEP} times as much light at its brightest as at its darkest`,
      found: (brightest / darkest).toFixed(1),
      todo: 'Check that the file is the blank board and fills the frame',
    })
  }
}

function notBlank(label: string, marksPercent: number): RequestError {
  return new RequestError({
    where: label,
    what: 'the board is not blank: there is a picture or a structure on it',
    expected: 'an even white or grey board, out of focus if need be',
    found: `${marksPercent.toFixed(0)} % of it stands out from the smooth light by more than ${MARK_PERCENT} %`,
    todo: 'Capture a blank board in place of the sheet',
  })
}

const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length
