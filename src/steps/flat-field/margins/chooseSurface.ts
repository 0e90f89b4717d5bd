import type { PaperWindow } from '../../shared/paper/PaperWindow.js'
import { fitLight, type LightSurface, lightAt, termsAt } from './fitLight.js'

/**
 * A third and a fourth degree were tried: between the margins they strayed by up to 4 % where the left-out paper claimed a
 * tenth of that.
 */
const DEGREES = [1, 2]
/** A higher degree must miss left-out paper by this much less to be taken. */
const WORTHWHILE = 0.85
/** Windows a term, at least. */
const WINDOWS_A_TERM = 3
/** Parts of the frame along either side that are left out in turn. */
const PARTS = 4
/** Places a side at which two surfaces are compared. */
const FRAME_GRID = 11
/** Deviations that count as not paper: this many times the usual one, but never less than the second; log2. */
const OUTLIER = 4
const LEAST_DEVIATION = 0.012
/** Paper's grain moves its tone and hardly its tint, so that a pale wash shows in its tint first. */
const LEAST_TINT = 0.005
const ROUNDS = 8
/** Where there is no paper the surface may leave what was seen by this much; log2. */
const RUNAWAY = 0.3

export interface ChosenSurface {
  surface: LightSurface
  /** The windows the surface rests on. */
  used: PaperWindow[]
  /** RMS of what each part of the frame is missed by when its paper is left out; log2 of green. */
  leftOut: number
  /** How far the surface moves over the whole frame as parts are left out: standard error, RMS; log2 of green. */
  unsure: number
  /** Deviations of the used windows, log2 of green. */
  deviations: Float64Array
}

/**
 * The light's surface through windows of paper: a plane, or of second degree where that is clearly better where the
 * paper of one part of the frame after another is left out and foretold.
 * @returns undefined where there are too few windows
 */
export function chooseSurface(
  paper: readonly PaperWindow[],
  levels: number,
  levelOf: (window: PaperWindow) => number,
): ChosenSurface | undefined {
  let best: ChosenSurface | undefined
  for (const degree of DEGREES) {
    const next = settled(paper, degree, levels, levelOf)
    if (next && (!best || next.leftOut < WORTHWHILE * best.leftOut)) best = next
  }
  return best
}

/** How far a window may lie off: several times the usual. */
function bound(deviations: Float64Array, least: number): number {
  const usual = Float64Array.from(deviations, Math.abs).sort()[deviations.length >> 1]
  return Math.max(least, OUTLIER * usual)
}

/** Fits, drops what stands out, fits again. */
function settled(
  paper: readonly PaperWindow[],
  degree: number,
  levels: number,
  levelOf: (window: PaperWindow) => number,
): ChosenSurface | undefined {
  let used = [...paper]
  const fewest = WINDOWS_A_TERM * (termsAt(degree, 0, 0).length + levels)
  for (let round = 0; round < ROUNDS; round++) {
    const fit = used.length >= fewest ? fitLight(used, degree, levels, levelOf) : undefined
    if (!fit || runsAway(fit.surface, used)) return undefined
    const tone = bound(fit.deviations, LEAST_DEVIATION)
    const tint = bound(fit.tints, LEAST_TINT)
    const kept = used.filter((_, i) => Math.abs(fit.deviations[i]) <= tone && fit.tints[i] <= tint)
    if (kept.length === used.length || round === ROUNDS - 1) {
      const facts = judged(used, fit.surface, levels, levelOf, fewest)
      return facts && { ...facts, surface: fit.surface, used, deviations: fit.deviations }
    }
    used = kept
  }
  return undefined
}

/**
 * What a fit without the paper of one part of the frame says: of that paper (`leftOut`, RMS over the parts of what it is
 * missed by), and of the whole frame (`unsure`: the jackknife's standard error, RMS over the frame, as the parts are
 * left out in turn). The first is what is seen, the second also reaches where no paper is.
 * Source of the jackknife: Tukey 1958, "Bias and confidence in not quite large samples", Annals of Mathematical
 * Statistics 29, 614.
 */
function judged(
  used: readonly PaperWindow[],
  surface: LightSurface,
  levels: number,
  levelOf: (window: PaperWindow) => number,
  fewest: number,
): Pick<ChosenSurface, 'leftOut' | 'unsure'> | undefined {
  const partOf = ({ u, v }: PaperWindow) =>
    Math.min(PARTS - 1, Math.floor(v * PARTS)) * PARTS + Math.min(PARTS - 1, Math.floor(u * PARTS))
  const whole = overFrame(surface)
  const changes = new Float64Array(whole.length)
  let [sum, count] = [0, 0]
  for (const part of new Set(used.map(partOf))) {
    const inside = used.filter((window) => partOf(window) === part)
    const outside = used.filter((window) => partOf(window) !== part)
    const known = new Set(outside.map(levelOf))
    const asked = inside.filter((window) => known.has(levelOf(window)))
    const fit = outside.length >= fewest ? fitLight(outside, surface.degree, levels, levelOf) : undefined
    if (!fit || asked.length === 0) continue
    const missed = asked.map(
      (window) => window.light[1] - fit.levels[levelOf(window)] - lightAt(fit.surface, 1, window.u, window.v),
    )
    sum += (missed.reduce((a, b) => a + b, 0) / missed.length) ** 2
    overFrame(fit.surface).forEach((value, i) => {
      changes[i] += (value - whole[i]) ** 2
    })
    count++
  }
  if (count < 3) return undefined
  const error = changes.reduce((a, b) => a + b, 0) / changes.length
  return { leftOut: Math.sqrt(sum / count), unsure: Math.sqrt(((count - 1) / count) * error) }
}

/** A surface over a grid of the frame, against its own mean. */
function overFrame(surface: LightSurface): Float64Array {
  const values = new Float64Array(FRAME_GRID ** 2)
  for (let i = 0; i < values.length; i++) {
    const [x, y] = [i % FRAME_GRID, Math.floor(i / FRAME_GRID)]
    values[i] = lightAt(surface, 1, x / (FRAME_GRID - 1), y / (FRAME_GRID - 1))
  }
  const mean = values.reduce((a, b) => a + b, 0) / values.length
  return values.map((value) => value - mean)
}

/** Whether the surface leaves, somewhere in the frame, what was seen where there is paper. */
function runsAway(surface: LightSurface, used: readonly PaperWindow[]): boolean {
  const seen = used.map(({ u, v }) => lightAt(surface, 1, u, v))
  const [least, most] = [Math.min(...seen) - RUNAWAY, Math.max(...seen) + RUNAWAY]
  for (let j = 0; j <= 10; j++) {
    for (let i = 0; i <= 10; i++) {
      const there = lightAt(surface, 1, i / 10, j / 10)
      if (there < least || there > most) return true
    }
  }
  return false
}
