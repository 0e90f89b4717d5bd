import type { RunEvent } from '../../engine/RunEvent.js'
import { numberWords, sizeWords, timeWords } from './words.js'

/** One line for an event, or undefined for those that have none (progress). */
export function eventLine(event: RunEvent): string | undefined {
  switch (event.event) {
    case 'progress':
      return undefined
    case 'statement':
      return `  ${event.step}: ${event.text}`
    case 'warning':
      return `warning: ${event.step}: ${event.text}`
    case 'measurement': {
      const { step, name, value, unit, target, pass } = event
      // A name that ends in its unit would state it twice: "left-out mean dE2000 1.8 dE2000".
      const number = `${numberWords(value)}${unit && !name.endsWith(unit) ? ` ${unit}` : ''}`
      const verdict = pass === undefined ? '' : pass ? ', met' : ', missed'
      return `  ${step}: ${name} ${number}${target ? ` (target ${target}${verdict})` : ''}`
    }
    case 'written':
      return `  wrote ${event.path}`
    case 'done':
      return `Done in ${timeWords(event.seconds)}, at most ${sizeWords(event.peakMemoryBytes)} of memory.`
  }
}
