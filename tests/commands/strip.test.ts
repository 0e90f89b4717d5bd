import { access, mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { main } from '../../src/commands/main.js'
import { testCapture } from '../helpers/testCapture.js'
import { fakeTerminal } from './fakeTerminal.js'

let folder: string
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'finetooth-strip-'))
  await testCapture(folder, 'scan.png', 200, 150)
  await testCapture(folder, 'scan.tif', 600, 450)
  const write = (name: string, more: string) =>
    writeFile(join(folder, name), `title: Boats\ncaptures: { files: [scan.tif] }\n${more}`)
  await write('plain.yaml', '')
  await write('empty-hue.yaml', 'steps: [ { hue: [] } ]\n')
  await write(
    'all.yaml',
    'steps: [ paper-texture, { hue: [ { around: blue, shift: 2 } ] } ]\noutputs: [ { print: { name: wall } } ]\n',
  )
  await writeFile(join(folder, 'png.yaml'), 'captures: { files: [scan.png] }\nsteps: [ paper-texture ]\n')
})
afterAll(() => rm(folder, { recursive: true, force: true }))

async function strip(...argv: string[]) {
  const { terminal, out, err } = fakeTerminal(folder)
  const status = await main(['strip', ...argv], terminal)
  return { status, out: out.text, err: err.text }
}

describe('a strip that cannot be made', () => {
  it.each([
    [['all.yaml'], /^strip needs --of \(expected one of sharpening, texture, hue\)/],
    [['all.yaml', '--of', 'textur'], /^--of textur: there is no such strip.*Nearest spelling: texture\./],
    [['plain.yaml', '--of', 'texture'], /plain\.yaml: there is no step paper-texture .*found no steps.*Add/],
    [['plain.yaml', '--of', 'hue'], /plain\.yaml: there is no step hue .*Add - hue: \[/],
    [['empty-hue.yaml', '--of', 'hue'], /hue has no entry .*Write one/],
    [['plain.yaml', '--of', 'sharpening'], /plain\.yaml: there is no output .*Add one/],
    [
      ['all.yaml', '--of', 'sharpening', '--output', 'wal'],
      /--output wal: .*one of wall.*Nearest spelling: wall/,
    ],
    [['all.yaml', '--of', 'hue', '--output', 'wall'], /--output wall: a strip of hue shows the master/],
    [['all.yaml', '--of', 'texture', '--to', '2'], /^--to: .*from 0 to 1.*found 2/],
    [['all.yaml', '--of', 'sharpening', '--from', '0.2'], /^--from: .*from 0\.5 to 1/],
    [['all.yaml', '--of', 'hue', '--steps', 'few'], /^--steps: not a number \(found few\)/],
    [['all.yaml', '--of', 'hue', '--from', '-400'], /^--from: .*from -180 to 180.*found -400/],
    [['all.yaml', '--of', 'hue', '--out', 'x.tif'], /--out x\.tif: a strip is written as PNG or PDF/],
    [['all.yaml', '--of', 'hue', '--out', 'scan.png'], /scan\.png: the file exists.*--overwrite/],
    [['png.yaml', '--of', 'texture', '--out', 'scan.png', '--overwrite'], /a capture is never written to/],
    [['all.yaml', '--of', 'hue', '--of', 'texture'], /--of was given twice/],
  ])('%j is told in one sentence, with status 2', async (argv, message) => {
    const { status, out, err } = await strip(...argv)
    expect(err).toMatch(message)
    expect([status, out]).toEqual([2, ''])
    expect(err.trimEnd().split('\n')).toHaveLength(1)
  })
})

describe('a strip', () => {
  it('is written beside the pipeline, and its lines are told', async () => {
    const { status, out, err } = await strip(
      'all.yaml',
      '--of',
      'hue',
      '--from',
      '-6',
      '--to',
      '6',
      '--steps',
      '3',
    )
    expect(err).toBe('')
    expect(status).toBe(0)
    for (const shift of [-6, 0, 6]) expect(out).toContain(`shift: ${shift},`)
    await access(join(folder, 'all-strips/hue.png'))
    await access(join(folder, 'all-strips/hue.pdf'))
  }, 60_000)

  it('is one file where --out names one', async () => {
    const { status, out } = await strip('all.yaml', '--of', 'sharpening', '--out', 'sub/mine.pdf', '--json')
    expect(status).toBe(0)
    await access(join(folder, 'sub/mine.pdf'))
    const events = out
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line))
    expect(events.filter(({ event }) => event === 'written')).toMatchObject([
      { kind: 'strip', name: 'sharpening-wall', path: join(folder, 'sub/mine.pdf') },
    ])
  }, 60_000)
})
