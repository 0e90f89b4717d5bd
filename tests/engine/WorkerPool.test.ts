import { spawnSync } from 'node:child_process'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { expect, it } from 'vitest'

const POOL = pathToFileURL(join(import.meta.dirname, '../../dist/src/engine/WorkerPool.js')).href

it('a pool may be closed at any moment while its threads begin', () => {
  // In a process of its own: what is guarded against is the end of the whole process.
  const script = `
    const { WorkerPool } = await import(${JSON.stringify(POOL)})
    for (let delayMs = 60; delayMs < 360; delayMs += 30) {
      const pool = new WorkerPool({ threads: 8, signal: new AbortController().signal })
      await new Promise((resolve) => setTimeout(resolve, delayMs))
      await pool.close()
    }
    console.log('closed')
  `
  const { status, stdout, stderr } = spawnSync(process.execPath, ['--input-type=module', '-e', script], {
    encoding: 'utf8',
  })
  expect(stderr).toBe('')
  expect(stdout).toBe('closed\n')
  expect(status).toBe(0)
})
