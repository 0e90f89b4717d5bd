import type { RunEvent } from '../../engine/RunEvent.js'
import type { OutputStream } from '../Terminal.js'
import type { Display } from './Display.js'
import { eventLine } from './eventLine.js'
import { timeWords } from './words.js'

/**
 * Lines for where there is no terminal: one when a stage starts, one when it is done, and whatever is said between.
 * Warnings go to `err`.
 * @param now a clock in milliseconds
 */
export function plainDisplay(out: OutputStream, err: OutputStream, now: () => number): Display {
  const started = new Map<string, number>()
  const finished = new Set<string>()
  const progress = ({ stage, share }: RunEvent & { event: 'progress' }) => {
    if (!started.has(stage)) {
      started.set(stage, now())
      out.write(`${stage} ...\n`)
    }
    if (share >= 1 && !finished.has(stage)) {
      finished.add(stage)
      out.write(`${stage} done, ${timeWords((now() - started.get(stage)!) / 1000)}\n`)
    }
  }
  return {
    event(event) {
      if (event.event === 'progress') progress(event)
      else (event.event === 'warning' ? err : out).write(`${eventLine(event)}\n`)
    },
    close() {},
  }
}
