import type { Finding } from '../../findings.js'
import { contourStepPercent, fieldPicture } from './fieldPicture.js'
import { UNIFORMITY_2016 } from './guidelines.js'
import type { Reading } from './Reading.js'

const CORNERS = ['top left', 'top right', 'bottom right', 'bottom left']

/** What the step has to say. */
export function flatFieldFindings(reading: Reading): Finding[] {
  const { unevenPercent, cornerLossPercent, remainingPercent, blackLevel, board, marksPercent } = reading
  const again = reading.reused
    ? [
        `The lamp field is of an earlier run (board ${board}); it holds only while lamp and place stay the same`,
      ]
    : []
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
  const black = blackLevel > 0 ? ` after ${(100 * blackLevel).toPrecision(2)} % of black was taken off` : ''
  const findings: Finding[] = [
    ...[...reading.warnings, ...again].map((text): Finding => ({ kind: 'warning', text })),
    number('unevenness of the light', unevenPercent.luminance),
    number('unevenness, red', unevenPercent.red),
    number('unevenness, green', unevenPercent.green),
    number('unevenness, blue', unevenPercent.blue),
    ...CORNERS.map((corner, k) => number(`light lost, ${corner}`, cornerLossPercent[k])),
    judged('unevenness left on the board', remainingPercent),
    number('marks and dust on the board', marksPercent),
    {
      kind: 'statement',
      text: `Each capture is divided by the light measured on ${board}${black}; the brightest place of the board keeps its exposure and its colour, every other is brought up to it.`,
    },
    {
      kind: 'statement',
      text: 'Unevenness is (largest - smallest) / mean of the smoothed light; what is left is the range of the board itself once corrected, 2nd to 98th percentile over small areas.',
    },
    {
      kind: 'picture',
      title: 'The light on the board',
      caption: `Brightest place white, darkest dark grey; a line every ${contourStepPercent(unevenPercent.luminance)} % of the brightest.`,
      picture: fieldPicture(reading),
    },
  ]
  return findings
}
