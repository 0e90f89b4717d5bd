import type { Place } from './Canvas.js'

/** Places from text, two numbers each, pairs set apart by commas: `0.1 0.2, 0.3 0.2`. */
export function places(text: string): Place[] {
  return text.split(',').map((pair): Place => {
    const [u, v] = pair.trim().split(/\s+/).map(Number)
    return [u, v]
  })
}
