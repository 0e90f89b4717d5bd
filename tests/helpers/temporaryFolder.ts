import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { onTestFinished } from 'vitest'

/** A new empty folder that is gone when the test has finished. */
export async function temporaryFolder(): Promise<string> {
  const { folder, remove } = await keptFolder()
  onTestFinished(remove)
  return folder
}

/** A new empty folder for several tests: whoever asks for it removes it, in `afterAll`. */
export async function keptFolder(): Promise<{ folder: string; remove(): Promise<void> }> {
  const folder = await mkdtemp(join(tmpdir(), 'finetooth-test-'))
  return { folder, remove: () => rm(folder, { recursive: true, force: true }) }
}
