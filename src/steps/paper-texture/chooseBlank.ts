import { quantile } from '../shared/quantile.js'
import type { WindowFacts } from './windowFacts.js'

export interface BlankChoice {
  basis: 'blank' | 'washes'
  /** Windows the relief can be learned from. */
  used: WindowFacts[]
  /** Windows that look like blank paper by tone and colour. */
  blank: WindowFacts[]
}

/** A share of clipped pixels above which a window tells nothing of relief. */
const MOST_CLIPPED = 0.02
/** How far a blank window's tone may lie under the brightest calm paper, in stops: lamp falloff and pale stains. */
const TONE_BELOW = 0.35
/** How far its colour may lie from the paper's, log2 of ratios. */
const CHROMA_OFF = 0.08
/** Above these nothing counts as even: RMS of 8 x 8 block means in log2 of the ratios and of luminance. */
const MOST_CHROMA_SPREAD = 0.1
const MOST_TONE_SPREAD = 0.2
/** Fewest windows of blank paper that are taken where there is nothing else. */
export const FEWEST_BLANK = 3
/** Fewest windows that a spectrum is learned from without saying so. */
export const FEWEST_WINDOWS = 6

/**
 * Picks the windows that show nothing but the sheet: unclipped, even in colour and in tone, near the brightest paper,
 * and with spectra alike. Where there is no such paper, the flattest windows of any tone.
 */
export function chooseBlank(all: readonly WindowFacts[]): BlankChoice {
  const usable = all.filter(({ clipped, variance }) => clipped <= MOST_CLIPPED && variance > 1e-9)
  // Calm in colour: relief does not change colour, paint nearly always does.
  const chromaLimit = held(
    2.5 *
      quantile(
        usable.map(({ chromaSpread }) => chromaSpread),
        0.05,
      ),
    0.012,
    MOST_CHROMA_SPREAD,
  )
  const calm = usable.filter(({ chromaSpread }) => chromaSpread <= chromaLimit)
  const top = quantile(
    calm.map(({ tone }) => tone),
    0.98,
  )
  const bright = calm.filter(({ tone }) => tone > top - TONE_BELOW && tone > -2.5)
  const colour = [0, 1].map((i) =>
    quantile(
      bright.map(({ chroma }) => chroma[i]),
      0.5,
    ),
  )
  const blank = bright.filter(
    ({ chroma }) => Math.hypot(chroma[0] - colour[0], chroma[1] - colour[1]) <= CHROMA_OFF,
  )
  const used = alike(even(blank))
  if (used.length >= FEWEST_WINDOWS) return { basis: 'blank', used, blank }
  const washes = alike(even(calm))
  if (washes.length >= FEWEST_WINDOWS || used.length < FEWEST_BLANK) {
    return { basis: 'washes', used: washes, blank: [] }
  }
  return { basis: 'blank', used, blank }
}

/** Those with the least slow change of tone. */
function even(windows: readonly WindowFacts[]): WindowFacts[] {
  const spreads = windows.map(({ toneSpread }) => toneSpread)
  const limit = Math.min(3 * quantile(spreads, 0.05), 2 * quantile(spreads, 0.2), MOST_TONE_SPREAD)
  return windows.filter(({ toneSpread }) => toneSpread <= limit)
}

/**
 * Those whose spectra agree: energy in rings and directions within a factor of the median's. A pencil line or a wash's
 * edge in a window shows as too much in some band.
 */
export function alike(windows: readonly WindowFacts[]): WindowFacts[] {
  // Paint in a window only adds energy, so the quietest ones lead: a majority with lines in it must not.
  const quiet =
    2 *
    quantile(
      windows.map(({ variance }) => variance),
      0.1,
    )
  let kept = windows.filter(({ variance }) => variance <= quiet)
  const bands = new Map(windows.map((facts) => [facts, bandEnergies(facts.power)]))
  for (let round = 0; round < 3 && kept.length > 0; round++) {
    const count = bands.get(kept[0])!.length
    const middle = Array.from({ length: count }, (_, i) =>
      quantile(
        kept.map((facts) => bands.get(facts)![i]),
        0.5,
      ),
    )
    const next = windows.filter((facts) => {
      const own = bands.get(facts)!
      let worst = 0
      let sum = 0
      for (let i = 0; i < count; i++) {
        worst = Math.max(worst, own[i] - middle[i])
        sum += (own[i] - middle[i]) ** 2
      }
      return worst < MOST_EXCESS && Math.sqrt(sum / count) < MOST_UNLIKE
    })
    if (next.length === kept.length) break
    kept = next
  }
  return kept
}

/** Limits on log2 of band energies against the median's: any one band, and RMS over all. */
const MOST_EXCESS = 1.6
const MOST_UNLIKE = 0.9

const RINGS = [2, 5, 9, 15, 23, 32]
const SECTORS = 4

/** log2 of the energy in five rings by four directions. */
function bandEnergies(power: Float32Array): number[] {
  const n = 64
  const sums = new Float64Array((RINGS.length - 1) * SECTORS).fill(1e-12)
  for (let y = 0; y < n; y++) {
    const ky = y < n / 2 ? y : y - n
    for (let x = 0; x <= n / 2; x++) {
      const radius = Math.hypot(x, ky)
      if (radius < RINGS[0] || radius >= RINGS.at(-1)!) continue
      const ring = RINGS.findIndex((limit) => radius < limit) - 1
      const angle = (Math.atan2(ky, x) / Math.PI + 1.5 + 0.5 / SECTORS) % 1
      sums[ring * SECTORS + Math.min(SECTORS - 1, Math.floor(angle * SECTORS))] += power[y * n + x]
    }
  }
  return Array.from(sums, Math.log2)
}

const held = (value: number, least: number, most: number) => Math.min(most, Math.max(least, value))
