import { describe, expect, it } from 'vitest'
import type { Finding, Picture8 } from '../../src/findings.js'
import type { ReportInput } from '../../src/report/ReportInput.js'
import { renderReport } from '../../src/report/renderReport.js'

const picture: Picture8 = { width: 2, height: 1, rgb: new Uint8Array([0, 0, 0, 255, 255, 255]) }
const encode = async (p: Picture8) => `data:test;${p.width}x${p.height}`

const input = (findings: Finding[], warnings: ReportInput['record']['warnings'] = []): ReportInput => ({
  record: {
    record: 1,
    tool: { name: 'finetooth', version: '0.0.0' },
    started: '2026-01-02T03:04:05.000Z',
    seconds: 1.5,
    threads: 2,
    pipeline: {},
    inputs: [{ use: 'capture', path: 'a.tif', sha256: 'ab', width: 10, height: 20, ppi: 300, profile: null }],
    readings: {},
    measurements: [],
    outputs: [
      {
        ...{
          kind: 'master',
          name: 'master',
          path: 'master.tif',
          sha256: 'cd',
          width: 10,
          height: 20,
          ppi: 300,
        },
        ...{ widthMm: 0.8467, heightMm: 1.693, space: 'opRGB', depth: 16 },
      },
    ],
    timings: [{ stage: 'captures', seconds: 0.25 }],
    peakMemoryBytes: 123e6,
    warnings,
  },
  title: 'Low & <tide>',
  fit: { title: 'whole', caption: 'all of it', before: picture, after: picture },
  details: [],
  steps: [{ name: 'some-step', summary: 'does "this"', findings, comparisons: [] }],
  outputs: [],
  cautions: ['Originals come first.'],
})

describe('the report', () => {
  it('shows every kind of finding, whoever said it', async () => {
    const page = await renderReport(
      input([
        {
          kind: 'number',
          name: 'left-out mean dE2000',
          value: 1.23456,
          unit: 'dE2000',
          target: '<= 2',
          pass: true,
        },
        { kind: 'statement', text: 'chose this because of that' },
        { kind: 'warning', text: 'mind the gap' },
        { kind: 'table', title: 'pairs', columns: ['a', 'b'], rows: [['one', 2.5]] },
        {
          kind: 'plot',
          title: 'curve',
          xLabel: 'mm',
          yLabel: 'dB',
          series: [
            {
              name: 's',
              points: [
                [0, 1],
                [2, 3],
              ],
            },
          ],
        },
        { kind: 'picture', title: 'map', caption: 'what it is', picture },
      ]),
      encode,
    )
    for (const part of [
      'left-out mean dE2000',
      '<td class="value">1.23</td>',
      '<td>target &#60;= 2</td><td>reached</td>',
      'Chose this because of that.',
      'Mind the gap.',
      '<td class="value">2.5</td>',
      '<polyline',
      'data:test;2x1',
    ]) {
      expect(page).toContain(part)
    }
  })

  it('escapes everything that comes from outside', async () => {
    const page = await renderReport(input([{ kind: 'statement', text: '<script>alert(1)</script>' }]), encode)
    expect(page).not.toContain('<script>alert')
    expect(page).toContain('Low &#38; &#60;tide&#62;')
  })

  it('puts the warnings before everything else', async () => {
    const page = await renderReport(input([], [{ step: 'colour', message: 'the chart is clipped' }]), encode)
    const warned = page.indexOf('<b>colour:</b> The chart is clipped.')
    expect(warned).toBeGreaterThan(0)
    expect(warned).toBeLessThan(page.indexOf('id="summary"'))
    expect(warned).toBeLessThan(page.indexOf('id="picture"'))
  })

  it('asks nothing of the network', async () => {
    const page = await renderReport(input([{ kind: 'picture', title: 't', caption: 'c', picture }]), encode)
    expect(page).not.toMatch(/(?:src|href)="(?!data:|#)/)
  })
})
