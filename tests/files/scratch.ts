import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll } from 'vitest'

/** A folder of its own for the tests of one file, removed afterwards. `at('a.tif')` is a path in it. */
export function scratchFolder(): (name?: string) => string {
  let folder = ''
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'finetooth-files-'))
  })
  afterAll(() => rm(folder, { recursive: true, force: true }))
  return (name = '') => join(folder, name)
}

/** Values that look random, the same every time (xorshift, 32 bits), both ends of the range among them. */
export function values(count: number, max: 255 | 65535, seed = 1): number[] {
  let state = seed * 2654435761
  return Array.from({ length: count }, (_, i) => {
    state ^= state << 13
    state ^= state >>> 17
    state ^= state << 5
    return i === 3 ? max : i === 4 ? 0 : (state >>> 0) % (max + 1)
  })
}

/** The rejection of a promise that must be rejected. */
export async function failure(work: Promise<unknown>): Promise<Error & Record<string, unknown>> {
  try {
    await work
  } catch (cause) {
    return cause as Error & Record<string, unknown>
  }
  throw new Error('expected a rejection')
}
