import { xyzD50ToLab } from '../../colour/lab.js'
import { D50_XYZ } from '../../colour/whites.js'
import type { Finding } from '../../findings.js'
import { reuseWords } from '../session.js'
import { contourStepPercent, fieldPicture } from './fieldPicture.js'
import { ILLUMINATION_2012, UNIFORMITY_2016 } from './guidelines.js'
import { luminance } from './luminance.js'
import type { Reading } from './Reading.js'

const CORNERS = ['top left', 'top right', 'bottom right', 'bottom left']

/** What the step has to say. */
export function flatFieldFindings(reading: Reading): Finding[] {
  const { unevenPercent, cornerLossPercent, remainingPercent, board, basis } = reading
  const onBoard = basis === 'board'
  const again = reading.reused
    ? [
        `The lamp field is of an earlier run (measured on ${board}); it holds only while lamp and place stay the same`,
      ]
    : []
  const { warning, statement } = reading.reuse ? reuseWords(reading.reuse) : {}
  const [best] = UNIFORMITY_2016.levels
  const number = (name: string, value: number): Finding => ({ kind: 'number', name, value, unit: '%' })
  const judged = (name: string, value: number): Finding => ({
    kind: 'number',
    name,
    value,
    unit: '%',
    target: `< ${best.belowPercent} (${UNIFORMITY_2016.name}, ${best.level})`,
    source: UNIFORMITY_2016.source,
    pass: value < best.belowPercent,
  })
  const findings: Finding[] = [
    ...[...reading.warnings, ...again, ...(warning ? [warning] : [])].map(
      (text): Finding => ({ kind: 'warning', text }),
    ),
    number('unevenness of the light', unevenPercent.luminance),
    number('unevenness, red', unevenPercent.red),
    number('unevenness, green', unevenPercent.green),
    number('unevenness, blue', unevenPercent.blue),
    ...CORNERS.map((corner, k) => number(`light lost, ${corner}`, cornerLossPercent[k])),
    // Paper keeps its relief when the light is even: a guideline cannot judge the light on it.
    onBoard
      ? judged('unevenness left on the board', remainingPercent)
      : number('unevenness left on the blank paper', remainingPercent),
    ...(onBoard ? boardNumbers(reading, number) : marginNumbers(reading, number)),
    { kind: 'statement', text: onBoard ? boardWords(reading) : marginWords(reading) },
    ...(statement ? [{ kind: 'statement' as const, text: statement }] : []),
    {
      kind: 'statement',
      text: `Unevenness is (largest - smallest) / mean of the smoothed light; what is left is the range of the ${onBoard ? 'board' : 'blank paper'} itself once corrected, 2nd to 98th percentile over small areas.`,
    },
    tolerances(reading),
    {
      kind: 'picture',
      title: onBoard ? 'The light on the board' : "The light on the sheet's blank paper",
      caption: `Brightest place white, darkest dark grey; a line every ${contourStepPercent(unevenPercent.luminance)} % of the brightest.${onBoard ? '' : ' The dots are the places, in all captures, where blank paper was found.'}`,
      picture: fieldPicture(reading),
    },
  ]
  return findings
}

type Number = (name: string, value: number) => Finding

function boardNumbers({ marksPercent, boards }: Reading, number: Number): Finding[] {
  return [
    number('marks and dust on the board', marksPercent),
    ...(boards
      ? [
          number('marks and dust on single boards', boards.marksPercent),
          number('difference between boards', boards.differPercent),
        ]
      : []),
  ]
}

function marginNumbers({ margins }: Reading, number: Number): Finding[] {
  return [
    number('frame near blank paper', margins!.coveredPercent),
    number('standard error of the light', margins!.unsurePercent),
    number('light missed where paper is left out', margins!.leftOutPercent),
  ]
}

/** What was taken off before dividing, in words; empty for nothing. */
function blackWords({ blackLevel, dark }: Reading): string {
  if (dark) return ` after the level of the dark frame (${dark.label}) was taken off, smoothed`
  return blackLevel > 0 ? ` after ${(100 * blackLevel).toPrecision(2)} % of black was taken off` : ''
}

function boardWords(reading: Reading): string {
  const { board, boards } = reading
  const several = boards
    ? ` ${boards.count} captures of the board were brought to one exposure and their median taken at every pixel${boards.count > 2 ? ', so that dust and marks that moved with the board drop out' : '; with three or more, dust that moves with the board drops out'}.`
    : ''
  return `Each capture is divided by the light measured on ${board}${blackWords(reading)}; the brightest place of the board keeps its exposure and its colour, every other is brought up to it.${several}`
}

function marginWords(reading: Reading): string {
  const { windows, degree, coveredPercent, leftOutPercent, unsurePercent } = reading.margins!
  return `No board is named: the light was measured on the sheet's own blank paper, at ${windows} places in all captures together, and a surface of degree ${degree} laid through them${blackWords(reading)}. This is less sure than a board: what differs from place to place in the paper is taken for light, and between the places the light is inferred. Blank paper lies near ${coveredPercent.toFixed(0)} % of the frame; the light is known to about ${unsurePercent.toFixed(1)} % (standard error over the frame: how far it moves as the paper of one part or another is left out, and what such a surface misses of a lamp), and paper left out is missed by ${leftOutPercent.toFixed(1)} % (RMS).`
}

/** The unevenness beside the guidelines' tolerances. */
function tolerances({ unevenPercent, remainingPercent, gains, basis }: Reading): Finding {
  // The darkest place in L* where the brightest is white.
  const light = gains[0].map((_, k) => luminance(1 / gains[0][k], 1 / gains[1][k], 1 / gains[2][k]))
  const fromWhite = (y: number) => 100 - xyzD50ToLab([y * D50_XYZ[0], y * D50_XYZ[1], y * D50_XYZ[2]])[0]
  const asCaptured = fromWhite(Math.min(...light) / Math.max(...light))
  const after = fromWhite(1 - remainingPercent / 100)
  const met = (value: number, tolerance: number, strictly: boolean) =>
    (strictly ? value < tolerance : value <= tolerance) ? 'met' : 'not met'
  const corrected = (text: string, verdict: string) => (basis === 'board' ? [text, verdict] : [])
  return {
    kind: 'table',
    title: "Evenness of the light beside the guidelines' tolerances",
    columns: ['guideline', 'level', 'tolerance', 'as captured', '', ...corrected('corrected', '')],
    rows: [
      ...UNIFORMITY_2016.levels.map(({ level, belowPercent }) => [
        UNIFORMITY_2016.name,
        level,
        `below ${belowPercent} %`,
        `${unevenPercent.luminance.toFixed(1)} %`,
        met(unevenPercent.luminance, belowPercent, true),
        ...corrected(`${remainingPercent.toFixed(1)} %`, met(remainingPercent, belowPercent, true)),
      ]),
      ...ILLUMINATION_2012.levels.map(({ size, mostL }) => [
        ILLUMINATION_2012.name,
        size,
        `at most ${mostL} L*`,
        `${asCaptured.toFixed(1)} L*`,
        met(asCaptured, mostL, false),
        ...corrected(`${after.toFixed(1)} L*`, met(after, mostL, false)),
      ]),
    ],
  }
}
