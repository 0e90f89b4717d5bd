import { NAMED_HUES } from './namedHues.js'
import type { Entry } from './params.js'

/** An entry of the params in the form the arithmetic wants. */
export interface Rule {
  /** Unit vector of the middle hue in Oklab's a, b. */
  cosMiddle: number
  sinMiddle: number
  /** Half of the width, and its cosine. */
  halfRadians: number
  cosHalf: number
  shiftRadians: number
  /** Chroma's factor less one. */
  chromaGain: number
  /** In Oklab's 0..1. */
  lightness: number
}

/** The middle of an entry, in degrees of Oklch hue. */
export const middleDegrees = ({ around }: Entry) => (typeof around === 'number' ? around : NAMED_HUES[around])

/** Rules of the entries that change anything. */
export function rules(entries: readonly Entry[]): Rule[] {
  return entries
    .filter(({ shift, chroma, lightness }) => shift !== 0 || chroma !== 1 || lightness !== 0)
    .map((entry) => {
      const middle = (middleDegrees(entry) * Math.PI) / 180
      const halfRadians = (entry.width * Math.PI) / 360
      return {
        cosMiddle: Math.cos(middle),
        sinMiddle: Math.sin(middle),
        halfRadians,
        cosHalf: Math.cos(halfRadians),
        shiftRadians: (entry.shift * Math.PI) / 180,
        chromaGain: entry.chroma - 1,
        lightness: entry.lightness / 100,
      }
    })
}
