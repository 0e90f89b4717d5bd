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
    const startedAt = started.get(stage)
    if (startedAt === undefined) started.set(stage, now())
    if (startedAt === undefined && share < 1) out.write(`${stage} ...\n`)
    if (share < 1 || finished.has(stage)) return
    finished.add(stage)
    // A stage that is first heard of when it is done has no time that could be told.
    const time = startedAt === undefined ? '' : `, ${timeWords((now() - startedAt) / 1000)}`
    out.write(`${stage} done${time}\n`)
  }
  return {
    event(event) {
      if (event.event === 'progress') progress(event)
      else (event.event === 'warning' ? err : out).write(`${eventLine(event)}\n`)
    },
    close() {},
  }
}
