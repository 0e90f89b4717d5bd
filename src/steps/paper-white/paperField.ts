import { quantile } from '../shared/quantile.js'
import type { PaperSample } from './paperSample.js'
import { fitSurface, type Surface, surfaceAt } from './surface.js'

export interface PaperField {
  used: PaperSample[]
  gains: [Surface, Surface, Surface]
}

/** A window is calm where its slow changes stay near those of the calmest; limits in log2. */
const LEAST_TONE_SPREAD = 0.02
const LEAST_COLOUR_SPREAD = 0.012
/** How far the first paper may lie under the brightest calm window, and from the fitted tone and colour; log2. */
const TOP_BAND = 0.03
const TONE_OFF = 0.03
const COLOUR_OFF = 0.025
/** Light lost from one end of the sheet to the other that is still followed as falloff, log2. */
const MOST_FALLOFF = 0.4
/** And at most this from one window to a near one: a pale wash steps further. */
const MOST_STEP = 0.015
/** Above these nothing counts as calm, however rough the rest. */
const MOST_TONE_SPREAD = 0.12
const MOST_COLOUR_SPREAD = 0.08
/** Darker than this no paper is looked for: log2 of linear light. */
const DARKEST = -2.5
/** Fewest windows of paper. */
export const FEWEST_SAMPLES = 4
/** Orders of the surface in the rounds that drop what does not fit it. */
const ORDERS = [2, 2, 2] as const

/**
 * Finds the windows of unpainted paper and the surface of their tone. It begins with the brightest calm windows,
 * follows the paper's tone from window to window, and keeps what one smooth surface fits: slow falloff is followed, a
 * pale wash, which steps away, is not.
 * @returns undefined where there is no such paper
 */
export function paperField(
  all: readonly PaperSample[],
  picture: { width: number; height: number },
): PaperField | undefined {
  const open = all.filter(({ clipped }) => clipped < 0.02)
  const calmest = (values: number[]) => quantile(values, 0.1)
  const toneScale = calmest(open.map((s) => s.toneSpread))
  const toneLimit = held(2.5 * toneScale, LEAST_TONE_SPREAD, MOST_TONE_SPREAD)
  const colourScale = calmest(open.map((s) => s.colourSpread))
  const colourLimit = held(2.5 * colourScale, LEAST_COLOUR_SPREAD, MOST_COLOUR_SPREAD)
  // A sheet whose relief is still there moves its windows' means about as well.
  const toneOff = TONE_OFF + toneScale
  const calm = open.filter(
    (s) => s.toneSpread <= toneLimit && s.colourSpread <= colourLimit && s.tone > DARKEST,
  )
  const top = quantile(
    calm.map(({ tone }) => tone),
    0.97,
  )
  const first = calm.filter(({ tone }) => tone > top - TOP_BAND - toneScale)
  const colour = [0, 1].map((i) =>
    quantile(
      first.map((s) => s.colour[i]),
      0.5,
    ),
  )
  let used = first.filter((s) => Math.hypot(s.colour[0] - colour[0], s.colour[1] - colour[1]) < COLOUR_OFF)
  if (used.length < FEWEST_SAMPLES) return undefined
  const spacing = Math.sqrt((picture.width * picture.height) / all.length)
  const slope = MOST_FALLOFF / Math.max(picture.width, picture.height)
  used = reached(used, calm, colour, 3 * spacing, slope, toneScale / 2)
  for (const order of ORDERS) {
    const gains = gainsOf(used, picture, order)
    const next = used.filter((s) => fits(s, gains, picture, toneOff))
    if (next.length < FEWEST_SAMPLES) break
    used = next
  }
  return { used, gains: gainsOf(used, picture, 2) }
}

/**
 * The windows that are reached from the first ones by small steps of tone, from each to what lies near it, within the
 * paper's colour: how slow falloff is followed over the sheet.
 */
function reached(
  first: readonly PaperSample[],
  calm: readonly PaperSample[],
  colour: readonly number[],
  reachPx: number,
  slope: number,
  play: number,
): PaperSample[] {
  const open = new Set(
    calm.filter((s) => Math.hypot(s.colour[0] - colour[0], s.colour[1] - colour[1]) < COLOUR_OFF),
  )
  const found = [...first]
  for (const s of first) open.delete(s)
  for (const from of found) {
    for (const s of open) {
      const distance = Math.hypot(s.tile.rect.x - from.tile.rect.x, s.tile.rect.y - from.tile.rect.y)
      if (
        distance <= reachPx &&
        Math.abs(s.tone - from.tone) < Math.min(slope * distance, MOST_STEP) + play
      ) {
        open.delete(s)
        found.push(s)
      }
    }
  }
  return found
}

/** The gains that bring the windows' means to 1, of the highest order the windows' spread over the sheet allows. */
export function gainsOf(
  used: readonly PaperSample[],
  picture: { width: number; height: number },
  most: 0 | 1 | 2,
): [Surface, Surface, Surface] {
  const side = Math.max(picture.width, picture.height)
  const at = used.map((s) => place(s, side))
  const reach = (values: number[]) => quantile(values, 0.95) - quantile(values, 0.05)
  const covered = Math.min(
    (reach(at.map(({ u }) => u)) * side) / picture.width,
    (reach(at.map(({ v }) => v)) * side) / picture.height,
  )
  const allowed = used.length >= 40 && covered > 0.6 ? 2 : used.length >= 12 && covered > 0.4 ? 1 : 0
  const fitted = (order: 0 | 1 | 2) =>
    [0, 1, 2].map((c) =>
      fitSurface(
        used.map((s, i) => ({ ...at[i], value: 1 / Math.max(s.mean[c], FLOOR) })),
        order,
      ),
    ) as [Surface, Surface, Surface]
  for (let order = Math.min(allowed, most); order > 0; order--) {
    const gains = fitted(order as 1 | 2)
    if (
      gains.every((gain, c) =>
        staysNear(
          gain,
          used.map((s) => 1 / Math.max(s.mean[c], FLOOR)),
          picture,
        ),
      )
    ) {
      return gains
    }
  }
  return fitted(0)
}

/** Least light of a paper's channel that a gain is made for. */
const FLOOR = 0.02

/** Whether a surface keeps, all over the picture, within a tenth of what was seen: no runaway where nothing was. */
function staysNear(
  surface: Surface,
  seen: readonly number[],
  picture: { width: number; height: number },
): boolean {
  const least = 0.9 * Math.min(...seen)
  const most = 1.1 * Math.max(...seen)
  const side = Math.max(picture.width, picture.height)
  for (let j = 0; j <= 8; j++) {
    for (let i = 0; i <= 8; i++) {
      const value = surfaceAt(surface, (picture.width / side) * (i / 8), (picture.height / side) * (j / 8))
      if (value < least || value > most) return false
    }
  }
  return true
}

function fits(
  s: PaperSample,
  gains: readonly Surface[],
  picture: { width: number; height: number },
  toneOff: number,
): boolean {
  const { u, v } = place(s, Math.max(picture.width, picture.height))
  const [r, g, b] = s.mean.map((mean, c) => Math.log2(Math.max(mean * surfaceAt(gains[c], u, v), 1e-6)))
  return Math.abs(g) < toneOff && Math.hypot(r - g, b - g) < COLOUR_OFF
}

const place = ({ tile: { rect } }: PaperSample, side: number) => ({
  u: (rect.x + rect.width / 2) / side,
  v: (rect.y + rect.height / 2) / side,
})

const held = (value: number, least: number, most: number) => Math.min(most, Math.max(least, value))
