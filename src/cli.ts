#!/usr/bin/env node
import { main } from './commands/main.js'

/** A package manager hands the terminal's Ctrl-C on, so that one press arrives twice. */
const ONE_PRESS_MS = 300

const controller = new AbortController()
let stoppedAt: number | undefined
for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) {
  process.on(signal, () => {
    const now = performance.now()
    if (stoppedAt !== undefined && now - stoppedAt > ONE_PRESS_MS) process.exit(130)
    stoppedAt ??= now
    controller.abort()
  })
}
for (const stream of [process.stdout, process.stderr]) {
  // Whoever read us has gone (`| head`): nothing more can be told, so the work ends as if interrupted.
  stream.on('error', () => controller.abort())
}

const status = await main(process.argv.slice(2), {
  out: process.stdout,
  err: process.stderr,
  currentFolder: process.cwd(),
  signal: controller.signal,
})
if (controller.signal.aborted) process.exit(status)
process.exitCode = status
