import type { OutputStream } from '../Terminal.js'
import type { Display } from './Display.js'

/** Progress more often than this helps no program that reads it. */
const PROGRESS_EVERY_MS = 100

/**
 * One JSON object a line. Progress is thinned, but the first and the last of each stage are always there.
 * @param quiet warnings and nothing else
 * @param now a clock in milliseconds
 */
export function jsonDisplay(out: OutputStream, quiet: boolean, now: () => number): Display {
  let stage = ''
  let last = Number.NEGATIVE_INFINITY
  return {
    event(event) {
      if (quiet && event.event !== 'warning') return
      if (event.event === 'progress') {
        const time = now()
        if (event.stage === stage && event.share < 1 && time - last < PROGRESS_EVERY_MS) return
        stage = event.stage
        last = time
      }
      out.write(`${JSON.stringify(event)}\n`)
    },
    close() {},
  }
}
