import { mkdir, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { check } from '../../src/commands/check.js'
import type { RunPlan } from '../../src/engine/planRun.js'
import { temporaryFolder } from '../helpers/temporaryFolder.js'
import { fakeTerminal } from './fakeTerminal.js'

const PLAN: RunPlan = {
  captures: [
    {
      label: 'scan.tif',
      width: 9921,
      height: 7016,
      ppi: 600,
      turned: 0,
      profile: 'sRGB',
      depth: 16,
      bytes: 417e6,
    },
    {
      label: 'turned.tif',
      width: 9921,
      height: 7016,
      ppi: undefined,
      turned: 180,
      profile: 'sRGB',
      depth: 16,
      bytes: 417e6,
    },
  ],
  steps: [{ name: 'hue', summary: 'Shifts hues.' }],
  master: {
    ...{ width: 9921, height: 7016, ppi: 600, ppiAssumed: false, space: 'opRGB', title: 'Boats' },
    ...{ credit: { creator: '', rights: '', contact: '' }, estimated: true, spaceAuto: true, bytes: 417e6 },
  },
  outputs: [
    {
      kind: 'print',
      name: 'full',
      plan: {
        files: [
          {
            ...{ kind: 'print', name: 'full', path: 'prints/full.tif', width: 3425, height: 4843, ppi: 300 },
            ...{
              widthMm: 290,
              heightMm: 410.04,
              effectivePpi: 614.4,
              space: 'opRGB',
              depth: 16,
              bytes: 99e6,
            },
          },
        ],
        ticket: ['Sheet: A3+'],
        findings: [
          { kind: 'statement', text: 'the sheet is turned to suit the picture' },
          {
            kind: 'picture',
            title: 't',
            caption: 'c',
            picture: { width: 1, height: 1, rgb: new Uint8Array(3) },
          },
        ],
      },
    },
  ],
  ...{ seconds: 42, memoryBytes: 1.2e9, diskBytes: 516e6 },
  warnings: [{ step: 'captures', message: 'turned.tif carries no profile' }],
}

async function checked(options: { json?: boolean; quiet?: boolean }) {
  const folder = await temporaryFolder()
  await mkdir(join(folder, 'job'))
  await writeFile(join(folder, 'job/scan.tif'), '')
  await writeFile(join(folder, 'job/boats.yaml'), 'title: Boats\ncaptures: { files: [scan.tif] }\n')
  const { terminal, out, err } = fakeTerminal(folder)
  const all = { json: false, quiet: false, verbose: false, ...options }
  await check({ pipeline: 'job/boats.yaml', set: [] }, all, terminal, async () => PLAN)
  return { folder, out: out.text, err: err.text }
}

describe('check', () => {
  it('prints captures, steps, master, outputs, and what the run will ask for', async () => {
    const { folder, out, err } = await checked({})
    expect(out.split('\n')).toEqual([
      'Boats',
      '',
      'Captures (flatbed)',
      '  file             pixels  ppi  bits  profile    size  turned',
      '  scan.tif    9921 x 7016  600    16  sRGB     417 MB      0°',
      '  turned.tif  9921 x 7016  -      16  sRGB     417 MB    180°',
      '',
      'Steps, in this order',
      '  hue  Shifts hues.',
      '',
      'Master',
      '  master.tif: about 9921 x 7016 px, 420 x 297 mm at 600 ppi, 16 bits, the smallest standard space that holds it',
      '',
      'Outputs',
      '  file                 on paper       pixels  ppi  effective ppi  bits  space   size',
      '  prints/full.tif  290 x 410 mm  3425 x 4843  300            614    16  opRGB  99 MB',
      '  full: the sheet is turned to suit the picture',
      '',
      'The run takes about 42 s, 1.2 GB of memory and 516 MB of disk,',
      `and writes to ${join(folder, 'job/boats-out')}`,
      '',
    ])
    expect(err).toBe('warning: captures: turned.tif carries no profile\n')
  })

  it('gives one JSON object, without pictures', async () => {
    const { folder, out } = await checked({ json: true })
    const object = JSON.parse(out)
    expect(out.trimEnd().split('\n')).toHaveLength(1)
    expect(object).toMatchObject({
      event: 'plan',
      pipeline: join(folder, 'job/boats.yaml'),
      folder: join(folder, 'job/boats-out'),
      seconds: 42,
      master: { width: 9921 },
      outputs: [
        { kind: 'print', name: 'full', files: [{ effectivePpi: 614.4 }], findings: [{ kind: 'statement' }] },
      ],
      warnings: [{ step: 'captures' }],
    })
  })

  it('is warnings alone when quiet', async () => {
    const { out, err } = await checked({ quiet: true })
    expect(out).toBe('')
    expect(err).toContain('turned.tif carries no profile')
  })
})
