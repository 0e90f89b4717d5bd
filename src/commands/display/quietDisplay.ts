import type { OutputStream } from '../Terminal.js'
import type { Display } from './Display.js'
import { eventLine } from './eventLine.js'

/** Warnings and nothing else. */
export function quietDisplay(err: OutputStream): Display {
  return {
    event(event) {
      if (event.event === 'warning') err.write(`${eventLine(event)}\n`)
    },
    close() {},
  }
}
