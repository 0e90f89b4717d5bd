import { chartCapture } from '../../../demo-data/chartCapture.js'
import { captureSource } from '../../../src/colour/captureSource.js'
import { spaceTransform } from '../../../src/colour/spaceTransform.js'
import { colour as step } from '../../../src/steps/colour/step.js'
import { readContext } from '../../helpers/readContext.js'
import { row } from '../row.js'

/** The colour step on painted charts, whose spectra are published and whose device the step does not know. */
export async function painterCharts(): Promise<void> {
  const means: number[] = []
  for (const device of ['scanner', 'camera'] as const) {
    for (const seed of [1, 2, 3]) {
      const { raster, labD50 } = chartCapture({
        ...{ width: 1200, height: 900, device, noise: 0.002, blurPx: 0.5, seed, falloff: 0.05 },
        ...{ lampFromDeg: 40 * seed, rotationDeg: 61 * seed, perspective: 0.05, share: 0.6 },
      })
      const chart = captureSource(raster, spaceTransform('sRGB'))
      const references = { 'chart24-2014': undefined, 'its own values': cgats(labD50) }
      for (const [name, text] of Object.entries(references)) {
        const params = step.params.parse({ chart: 'chart', reference: text ? 'own.txt' : name })
        const context = readContext([chart], {
          auxiliaryCaptures: { chart: { source: chart } },
          auxiliaryTexts: text ? { 'own.txt': text } : {},
        })
        const findings = step.findings(await step.read([chart], params, context), params)
        const number = (wanted: string) =>
          findings.find((finding) => finding.kind === 'number' && finding.name === wanted) as {
            value: number
          }
        const leftOut = number('left-out mean dE2000').value
        means.push(leftOut)
        row(
          `${device}, chart turned ${61 * seed}, ${name}`,
          `${leftOut.toFixed(2)} dE2000 left out`,
          `before ${number('mean dE2000 before').value.toFixed(2)}, fitted ${number('mean dE2000').value.toFixed(2)}`,
        )
      }
    }
  }
  const worst = Math.max(...means)
  row('left-out mean dE2000, worst', worst.toFixed(2), 'at most 2', worst <= 2)
}

function cgats(labs: readonly (readonly number[])[]): string {
  const lines = labs.map((lab, i) => [i + 1, ...lab.map((value) => value.toFixed(3))].join(' '))
  return [
    ...[
      'CGATS.17',
      'NUMBER_OF_FIELDS 4',
      'BEGIN_DATA_FORMAT',
      'SAMPLE_ID LAB_L LAB_A LAB_B',
      'END_DATA_FORMAT',
    ],
    ...[`NUMBER_OF_SETS ${labs.length}`, 'BEGIN_DATA', ...lines, 'END_DATA', ''],
  ].join('\n')
}
