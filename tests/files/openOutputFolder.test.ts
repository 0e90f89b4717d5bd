import { mkdir, readdir, readFile, writeFile } from 'node:fs/promises'
import { hostname } from 'node:os'
import { dirname, join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { RequestError, WorkError } from '../../src/errors.js'
import { openOutputFolder } from '../../src/files/openOutputFolder.js'
import { filesUnder } from '../../src/files/output/filesUnder.js'
import { failure, scratchFolder } from './scratch.js'

/**
 * Which rename fails, counted from 1 (0 for none); from which on all fail; where no folder can be made.
 * Nothing else of the file system is replaced.
 */
const fault = vi.hoisted(() => ({ at: 0, from: Number.POSITIVE_INFINITY, count: 0, closed: '' }))
vi.mock('node:fs/promises', async (original) => {
  const real = await original<typeof import('node:fs/promises')>()
  const rename: typeof real.rename = async (from, to) => {
    fault.count++
    if (fault.count === fault.at || fault.count >= fault.from)
      throw Object.assign(new Error('EIO: i/o error, rename'), { code: 'EIO' })
    return real.rename(from, to)
  }
  const mkdir = (async (path: string, options?: { recursive: boolean }) => {
    if (fault.closed && path.startsWith(fault.closed)) {
      throw Object.assign(new Error('EACCES: permission denied, mkdir'), { code: 'EACCES' })
    }
    return real.mkdir(path, options)
  }) as typeof real.mkdir
  return { ...real, rename, mkdir }
})

const at = scratchFolder()
let out: string
let serial = 0
beforeEach(() => {
  out = at(join(String(++serial), 'harbour-out'))
})
afterEach(() => {
  Object.assign(fault, { at: 0, from: Number.POSITIVE_INFINITY, closed: '' })
})

async function put(folder: string, files: Record<string, string>): Promise<void> {
  for (const [name, text] of Object.entries(files)) {
    await mkdir(dirname(join(folder, name)), { recursive: true })
    await writeFile(join(folder, name), text)
  }
}

async function contents(folder: string): Promise<Record<string, string>> {
  const names = await filesUnder(folder)
  return Object.fromEntries(
    await Promise.all(names.map(async (name) => [name, await readFile(join(folder, name), 'utf8')])),
  )
}

const record = (...paths: string[]) =>
  JSON.stringify({ record: 1, outputs: paths.map((path) => ({ kind: 'print', path })) })
const OLD = {
  'run.json': record('master.tif', 'prints/full.tif', 'cards/card.pdf'),
  'master.tif': 'old master',
  'prints/full.tif': 'old print',
  'cards/card.pdf': 'old card',
  'ticket.md': 'old ticket',
  'report/index.html': 'old report',
}
const FOREIGN = { 'notes.txt': 'mine', 'prints/mine.tif': 'mine too' }
const NEW = {
  'run.json': record('master.tif', 'prints/full.tif', 'prints/small.tif'),
  'master.tif': 'new master',
  'prints/full.tif': 'new print',
  'prints/small.tif': 'new small print',
  'ticket.md': 'new ticket',
  'report/index.html': 'new report',
}

describe('a folder that does not exist yet', () => {
  it('appears complete at commit, the folders above it included', async () => {
    const folder = await openOutputFolder(join(out, 'deep'), { overwrite: false })
    await put(folder.stagingPath, NEW)
    await expect(readdir(join(out, 'deep'))).rejects.toThrow()
    await folder.commit()
    expect(await contents(join(out, 'deep'))).toEqual(NEW)
    expect(await readdir(out)).toEqual(['deep'])
  })

  it('leaves nothing at discard, not even the folders made for it', async () => {
    await mkdir(at(String(serial)), { recursive: true })
    const folder = await openOutputFolder(join(out, 'deep'), { overwrite: false })
    await put(folder.stagingPath, NEW)
    await folder.discard()
    expect(await readdir(dirname(out))).toEqual([])
  })

  it('keeps its files after a discard that follows the commit', async () => {
    const folder = await openOutputFolder(out, { overwrite: false })
    await put(folder.stagingPath, NEW)
    await folder.commit()
    await folder.discard()
    expect(await contents(out)).toEqual(NEW)
  })

  it('below a file is an error at once', async () => {
    await put(dirname(out), { 'harbour-out': 'a file' })
    const error = await failure(openOutputFolder(out, { overwrite: true }))
    expect(error).toBeInstanceOf(RequestError)
    expect(error.message).toMatch(/is a file.*expected a folder/)
    const below = await failure(openOutputFolder(join(out, 'x', 'y'), { overwrite: true }))
    expect(below).toBeInstanceOf(RequestError)
    expect(below.message).toMatch(/harbour-out.*one of the folders above the output folder is a file/)
  })

  it('where its parent may not be written to is an error at once', async () => {
    await mkdir(dirname(out))
    fault.closed = dirname(out)
    const error = await failure(openOutputFolder(out, { overwrite: false }))
    expect(error).toBeInstanceOf(WorkError)
    expect(error.message).toMatch(/may not be written to.*choose another output folder/)
  })
})

describe('an error about a file in the making', () => {
  it('names the place it was meant for', async () => {
    const folder = await openOutputFolder(out, { overwrite: false })
    const full = new WorkError({
      where: join(folder.stagingPath, 'prints/full.tif'),
      what: 'the disk is full',
      todo: 'Make room',
    })
    expect(folder.asMeant(full)).toBeInstanceOf(WorkError)
    expect((folder.asMeant(full) as WorkError).message).toBe(
      `${join(out, 'prints/full.tif')}: the disk is full. Make room.`,
    )
    const other = new RequestError({ where: 'scan.tif', what: 'there is no such file' })
    expect(folder.asMeant(other)).toBe(other)
    await folder.discard()
  })
})

describe('a folder with files of others', () => {
  beforeEach(() => put(out, FOREIGN))

  it('gets the new files beside them, and loses none', async () => {
    const folder = await openOutputFolder(out, { overwrite: false, willWrite: Object.keys(NEW) })
    await put(folder.stagingPath, NEW)
    await folder.commit()
    expect(await contents(out)).toEqual({ ...NEW, ...FOREIGN })
  })

  it('is refused before any work where one of them bears a name we need', async () => {
    await put(out, { 'master.tif': 'not ours', ticket: 'x' })
    const before = await contents(out)
    for (const overwrite of [false, true]) {
      const error = await failure(
        openOutputFolder(out, { overwrite, willWrite: ['master.tif', 'ticket/a.md'] }),
      )
      expect(error).toBeInstanceOf(RequestError)
      expect(error.message).toContain(join(out, 'master.tif'))
      expect(error.message).toContain(join(out, 'ticket'))
      expect(error.message).toMatch(/in the way/)
    }
    expect(await contents(out)).toEqual(before)
  })

  it('is refused at commit, before anything moves, where the name turned up meanwhile', async () => {
    const folder = await openOutputFolder(out, { overwrite: true })
    await put(folder.stagingPath, NEW)
    await put(out, { 'ticket.md': 'not ours' })
    const error = await failure(folder.commit())
    expect(error).toBeInstanceOf(RequestError)
    await folder.discard()
    expect(await contents(out)).toEqual({ ...FOREIGN, 'ticket.md': 'not ours' })
  })
})

describe('a folder with an earlier run', () => {
  beforeEach(() => put(out, { ...OLD, ...FOREIGN }))

  it('is refused without overwrite, naming the run', async () => {
    const error = await failure(openOutputFolder(out, { overwrite: false }))
    expect(error).toBeInstanceOf(RequestError)
    expect(error.exitStatus).toBe(2)
    expect(error.message).toContain(join(out, 'run.json'))
    expect(error.message).toMatch(/earlier run.*--out.*--overwrite/)
    expect(await contents(out)).toEqual({ ...OLD, ...FOREIGN })
  })

  it('changes only at commit, and then the new run stands in place of the old', async () => {
    const folder = await openOutputFolder(out, { overwrite: true, willWrite: Object.keys(NEW) })
    await put(folder.stagingPath, NEW)
    for (const [name, text] of Object.entries({ ...OLD, ...FOREIGN })) {
      expect(await readFile(join(out, name), 'utf8')).toBe(text)
    }
    await folder.commit()
    // the old card is gone with the folder it lay in; what others put there is not
    expect(await contents(out)).toEqual({ ...NEW, ...FOREIGN })
    expect((await readdir(out)).sort()).toEqual([
      'master.tif',
      'notes.txt',
      'prints',
      'report',
      'run.json',
      'ticket.md',
    ])
  })

  it('is as it was after discard', async () => {
    const folder = await openOutputFolder(out, { overwrite: true })
    await put(folder.stagingPath, NEW)
    await folder.discard()
    expect(await contents(out)).toEqual({ ...OLD, ...FOREIGN })
  })

  it('is as it was whichever rename of the commit fails', async () => {
    // 6 old files out, the journal, 6 new files in
    for (let failing = 1; failing <= 13; failing++) {
      const folder = await openOutputFolder(out, { overwrite: true })
      await put(folder.stagingPath, NEW)
      fault.at = failing
      fault.count = 0
      const error = await failure(folder.commit())
      fault.at = 0
      expect(error).toBeInstanceOf(WorkError)
      expect(error.exitStatus).toBe(1)
      await folder.discard()
      expect(await contents(out)).toEqual({ ...OLD, ...FOREIGN })
    }
    const folder = await openOutputFolder(out, { overwrite: true })
    await put(folder.stagingPath, NEW)
    fault.at = 14
    fault.count = 0
    await folder.commit()
    expect(fault.count).toBe(13)
  })

  it('is kept aside, and comes back with the next start, where the disk refuses everything', async () => {
    const folder = await openOutputFolder(out, { overwrite: true })
    await put(folder.stagingPath, NEW)
    fault.from = 9
    fault.count = 0
    const error = await failure(folder.commit())
    fault.from = Number.POSITIVE_INFINITY
    expect(error).toBeInstanceOf(WorkError)
    expect(error.message).toMatch(/\.aside: .*safe here/)
    await folder.discard()
    expect(await failure(openOutputFolder(out, { overwrite: false }))).toBeInstanceOf(RequestError)
    expect(await contents(out)).toEqual({ ...OLD, ...FOREIGN })
  })

  it('never follows a record out of the folder', async () => {
    await put(dirname(out), { 'elsewhere.tif': 'not in the folder' })
    await put(out, { 'run.json': record('../elsewhere.tif', join(dirname(out), 'elsewhere.tif')) })
    const folder = await openOutputFolder(out, { overwrite: true })
    await put(folder.stagingPath, { 'run.json': record() })
    await folder.commit()
    expect(await readFile(join(dirname(out), 'elsewhere.tif'), 'utf8')).toBe('not in the folder')
  })

  it('is not taken for one of ours where run.json is something else', async () => {
    for (const text of ['{"name": "another program"}', 'not JSON', '{"record": 2, "outputs": []}']) {
      await put(out, { 'run.json': text })
      const error = await failure(openOutputFolder(out, { overwrite: true }))
      expect(error).toBeInstanceOf(RequestError)
      expect(error.message).toMatch(/not the record of a run/)
    }
  })
})

describe('what a process that is gone has left', () => {
  const host = hostname().replace(/[^A-Za-z0-9-]/g, '') || 'here'
  // Linux counts processes to 4,194,304 at most (proc(5), pid_max)
  const gone = `.harbour-out.${host}.4194305.1`

  it('unfinished files go, beside the folder and in it', async () => {
    await put(join(dirname(out), `${gone}.staging`), NEW)
    await put(join(out, `${gone}.staging`), NEW)
    const folder = await openOutputFolder(out, { overwrite: false })
    await folder.discard()
    expect(await readdir(dirname(out))).toEqual(['harbour-out'])
    expect(await readdir(out)).toEqual([])
  })

  it('a commit that broke off is undone: the earlier run is whole again', async () => {
    // as the folder stands when the power fails after two of the new files have moved in
    await put(join(out, `${gone}.aside`), { ...OLD, 'moving-in.json': JSON.stringify(Object.keys(NEW)) })
    await put(out, { 'master.tif': 'new master', 'prints/small.tif': 'new small print', ...FOREIGN })
    await put(join(out, `${gone}.staging`), { 'run.json': 'x' })
    expect(await failure(openOutputFolder(out, { overwrite: false }))).toBeInstanceOf(RequestError)
    expect(await contents(out)).toEqual({ ...OLD, ...FOREIGN })
  })

  it('one that broke off while the old files were still moving aside is undone too', async () => {
    await put(join(out, `${gone}.aside`), { 'master.tif': OLD['master.tif'] })
    const { 'master.tif': _, ...rest } = OLD
    await put(out, rest)
    await failure(openOutputFolder(out, { overwrite: false }))
    expect(await contents(out)).toEqual(OLD)
  })

  it('the work of a process that lives, or of another machine, stays', async () => {
    const living = join(dirname(out), `.harbour-out.${host}.${process.ppid}.1.staging`)
    const elsewhere = join(dirname(out), '.harbour-out.another-machine.4194305.1.staging')
    await put(living, NEW)
    await put(elsewhere, NEW)
    const folder = await openOutputFolder(out, { overwrite: false })
    await folder.discard()
    expect(await contents(living)).toEqual(NEW)
    expect(await contents(elsewhere)).toEqual(NEW)
  })

  it('two runs of one process do not clear each other away', async () => {
    const first = await openOutputFolder(out, { overwrite: false })
    await put(first.stagingPath, { 'a.txt': 'first' })
    const second = await openOutputFolder(out, { overwrite: false })
    expect(second.stagingPath).not.toBe(first.stagingPath)
    expect(await contents(first.stagingPath)).toEqual({ 'a.txt': 'first' })
    await first.discard()
    await second.discard()
  })
})
