import { MultiBar, type SingleBar } from 'cli-progress'
import type { OutputStream } from '../Terminal.js'
import type { Display } from './Display.js'
import { eventLine } from './eventLine.js'
import { timeLeft } from './timeLeft.js'
import { timeWords } from './words.js'

/**
 * A bar at the foot of a terminal: the stage, the share done of the whole run, the time left. What the run says is
 * written above it.
 * @param out the terminal
 * @param err where warnings go, unless it is the terminal too
 * @param now a clock in milliseconds
 */
export function barDisplay(out: OutputStream, err: OutputStream, now: () => number): Display {
  const bars = new MultiBar({
    stream: out as NodeJS.WriteStream,
    format: '{bar} {percentage} %  {left}  {stage}',
    barCompleteChar: '#',
    barIncompleteChar: '.',
    barsize: 24,
    clearOnComplete: true,
    // A second Ctrl-C ends the program where it stands; a hidden cursor would stay hidden then.
    hideCursor: false,
    gracefulExit: false,
    linewrap: null,
    fps: 10,
  })
  const started = now()
  let bar: SingleBar | undefined
  const stop = () => {
    // A second stop would clear the line that was written after the first.
    if (bar) bars.stop()
    bar = undefined
  }
  return {
    event(event) {
      if (event.event === 'progress') {
        const left = timeLeft((now() - started) / 1000, event.overall)
        const words = { stage: event.stage, left: left === undefined ? '' : `${timeWords(left)} left` }
        bar ??= bars.create(100, 0, words)
        bar.update(Math.round(100 * event.overall), words)
        return
      }
      const line = `${eventLine(event)}\n`
      if (event.event === 'warning' && !err.isTTY) err.write(line)
      else if (bar && event.event !== 'done') bars.log(line)
      else {
        stop()
        out.write(line)
      }
    },
    close: stop,
  }
}
