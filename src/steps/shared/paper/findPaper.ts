import { quantile } from '../quantile.js'
import type { PaperWindow } from './PaperWindow.js'

/** A window is calm where it changes little beside the calmest tenth; bounds in log2. */
const CALM = 2.5
const TONE_SPREAD = { least: 0.02, most: 0.12 }
const COLOUR_SPREAD = { least: 0.012, most: 0.08 }
/** Darker than this (log2 of linear light) no paper is looked for. */
const DARKEST = -3
/** Paper lies this near the brightest calm windows of its capture, to begin with; log2. */
const TOP = 0.06
/** And its colour this near that of most of them. */
const COLOUR_OFF = 0.04
/** What a lamp may lose from one window to the next: this much over the whole frame, log2; a wash steps further. */
const SLOPE = 1
/** How far the next window of paper may lie, in frames. */
const REACH = 0.12

/**
 * The windows that show the sheet's unpainted paper: the brightest calm ones of each capture, and from them on what is
 * reached in small steps of tone, within the paper's colour. A lamp's falloff is followed that way; a wash, which steps
 * away, is not.
 */
export function findPaper(all: readonly PaperWindow[]): PaperWindow[] {
  const open = all.filter(({ clippedPercent, light }) => clippedPercent < 2 && light[1] > DARKEST)
  const toneScale = quantile(
    open.map(({ toneSpread }) => toneSpread),
    0.1,
  )
  const colourScale = quantile(
    open.map(({ colourSpread }) => colourSpread),
    0.1,
  )
  const calm = open.filter(
    ({ toneSpread, colourSpread }) =>
      toneSpread <= within(CALM * toneScale, TONE_SPREAD) &&
      colourSpread <= within(CALM * colourScale, COLOUR_SPREAD),
  )
  const seeds = [...new Set(calm.map(({ capture }) => capture))].flatMap((capture) => {
    const own = calm.filter((window) => window.capture === capture)
    const top = quantile(
      own.map(({ light }) => light[1]),
      0.97,
    )
    return own.filter(({ light }) => light[1] > top - TOP - toneScale)
  })
  const colour = [0, 2].map((c) =>
    quantile(
      seeds.map(({ light }) => light[c] - light[1]),
      0.5,
    ),
  )
  const likePaper = ({ light: [r, g, b] }: PaperWindow) =>
    Math.hypot(r - g - colour[0], b - g - colour[1]) < COLOUR_OFF
  return reached(seeds.filter(likePaper), calm.filter(likePaper), toneScale)
}

function reached(
  seeds: readonly PaperWindow[],
  calm: readonly PaperWindow[],
  toneScale: number,
): PaperWindow[] {
  const found = [...seeds]
  const open = new Set(calm)
  for (const seed of seeds) open.delete(seed)
  for (const from of found) {
    for (const next of open) {
      if (next.capture !== from.capture) continue
      const distance = Math.hypot(next.u - from.u, next.v - from.v)
      const step = Math.abs(next.light[1] - from.light[1])
      if (distance > REACH || step > SLOPE * distance + toneScale / 2) continue
      open.delete(next)
      found.push(next)
    }
  }
  return found
}

const within = (value: number, { least, most }: { least: number; most: number }) =>
  Math.min(most, Math.max(least, value))
