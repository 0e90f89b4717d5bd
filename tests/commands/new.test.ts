import { mkdir, readdir, readFile, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { parse } from 'yaml'
import { makeNew, readyMade } from '../../src/commands/new.js'
import { temporaryFolder } from '../helpers/temporaryFolder.js'
import { fakeTerminal } from './fakeTerminal.js'

const OPTIONS = { json: false, quiet: false, verbose: false }

async function make(folder: string, name: string, from = 'flatbed-single', options = OPTIONS) {
  const { terminal, out } = fakeTerminal(folder)
  await makeNew({ folder: name, from }, options, terminal)
  return out.text
}

const READY_MADE = await readyMade()

describe('new', () => {
  it('makes a folder with a commented pipeline, the editors schema, and a place for captures', async () => {
    const folder = await temporaryFolder()
    const said = await make(folder, 'Low "tide": one')
    const files = await readdir(join(folder, 'Low "tide": one'), { recursive: true })
    expect(files.sort()).toEqual(['captures', 'captures/README.txt', 'pipeline.schema.json', 'pipeline.yaml'])
    const text = await readFile(join(folder, 'Low "tide": one', 'pipeline.yaml'), 'utf8')
    expect(text.split('\n')[0]).toContain('$schema=./pipeline.schema.json')
    expect(text).toContain('# ')
    expect(parse(text)).toMatchObject({ pipeline: 1, title: 'Low "tide": one' })
    expect(said).toMatch(/finetooth check "Low \\"tide\\": one\/pipeline\.yaml"\n$/)
  })

  it('says in the captures folder what the pipeline asks for', async () => {
    const folder = await temporaryFolder()
    await make(folder, 'job', 'camera-frames')
    const note = await readFile(join(folder, 'job/captures/README.txt'), 'utf8')
    for (const name of ['frame-*.tif', 'board.tif', 'chart.tif']) expect(note).toContain(`  ${name}`)
  })

  it.each(READY_MADE)('starts from %s', async (name) => {
    const folder = await temporaryFolder()
    expect(await make(folder, 'job', name)).toContain('finetooth check job/pipeline.yaml\n')
  })

  it('takes an empty folder that exists already', async () => {
    const folder = await temporaryFolder()
    await mkdir(join(folder, 'job'))
    await make(folder, 'job')
    expect(await readdir(join(folder, 'job'))).toContain('pipeline.yaml')
  })

  it('tells what it made with --json', async () => {
    const folder = await temporaryFolder()
    expect(JSON.parse(await make(folder, 'job', 'cards-only', { ...OPTIONS, json: true }))).toEqual({
      event: 'created',
      folder: join(folder, 'job'),
      files: ['pipeline.yaml', 'pipeline.schema.json', 'captures/README.txt'],
    })
  })

  it.each([
    ['a file in it', 'job/a.txt'],
    ['a hidden file in it', 'job/.a'],
    ['a file in a folder in it', 'job/sub/a.txt'],
  ])('refuses a folder with %s, and changes nothing', async (_, file) => {
    const folder = await temporaryFolder()
    await mkdir(join(folder, 'job/sub'), { recursive: true })
    await writeFile(join(folder, file), 'mine')
    const before = await readdir(folder, { recursive: true })
    await expect(make(folder, 'job')).rejects.toMatchObject({
      exitStatus: 2,
      message: expect.stringMatching(/job: the folder is not empty/),
    })
    expect(await readdir(folder, { recursive: true })).toEqual(before)
  })

  it('refuses a file, and a pipeline there is not', async () => {
    const folder = await temporaryFolder()
    await writeFile(join(folder, 'job'), '')
    await expect(make(folder, 'job')).rejects.toThrow(/job: this is a file/)
    await expect(make(folder, 'other', 'flatbed-tile')).rejects.toThrow(
      /--from flatbed-tile: .*one of camera-frames.*Nearest spelling: flatbed-tiles/,
    )
    expect(await readdir(folder)).toEqual(['job'])
  })
})
