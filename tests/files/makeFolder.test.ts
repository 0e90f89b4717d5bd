import { existsSync } from 'node:fs'
import { readdir, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { makeFolder } from '../../src/files/makeFolder.js'
import { temporaryFolder } from '../helpers/temporaryFolder.js'

it('makes what is missing, and is content with what is there', async () => {
  const folder = await temporaryFolder()
  await makeFolder(join(folder, 'a', 'b', 'c'))
  await makeFolder(join(folder, 'a', 'b', 'c'))
  expect(await readdir(join(folder, 'a', 'b'))).toEqual(['c'])
})

it('comes back with the error where a file stands in the way', async () => {
  const folder = await temporaryFolder()
  await writeFile(join(folder, 'file'), '')
  await expect(makeFolder(join(folder, 'file', 'below'))).rejects.toMatchObject({ code: 'ENOTDIR' })
})

it.runIf(existsSync('/proc/self'))('comes back where the system denies a folder as missing', async () => {
  await expect(makeFolder('/proc/no-such-place/below')).rejects.toMatchObject({ code: 'ENOENT' })
})
