import { MM_PER_INCH } from '../../units.js'
import type { Sharpening } from '../contract.js'
import { acutance } from './acutance.js'
import { edgeProfile } from './edgeProfile.js'
import {
  detailTransfer,
  fileTransfer,
  type PrintChain,
  pixelsPerDegreeInverse,
  printTransfer,
} from './printChain.js'

/** How far sharpening may drive the sides of an edge beyond its height. */
export const OVERSHOOT_LIMIT = 0.1
/** Edges across the rows of pixels overshoot by a little more than those along them. */
const SLANT_MARGIN = 0.002
/** Below this, in output pixels, a Gaussian sampled at whole pixels is none any more. */
const LEAST_SIGMA_PX = 0.6
/** Differences from the surroundings below this share of the light are paper and noise, and not sharpened. */
const LEAST_NOISE_FLOOR = 0.005
/** Most of what is normally distributed lies within two of its standard deviations. */
const FLOOR_SIGMAS = 2
/** A floor higher than this would spare the picture itself. */
const MOST_NOISE_FLOOR = 0.05

export interface SharpeningPlan {
  /** Null where nothing is to be done. */
  sharpening: Sharpening | null
  /** As seen on paper, without and with the sharpening. */
  acutanceBefore: number
  acutanceAfter: number
  /** Share of an edge's height that the file's edges overshoot. */
  overshoot: number
  /** Greatest modulation of the file, sharpened: above 1 detail is shown stronger than it was. */
  peakModulation: number
  /** What ended the search. */
  stoppedBy: 'target' | 'overshoot limit' | 'sharp enough' | 'switched off'
}

/**
 * The sharpening that makes a derivative look as sharp as asked from where it is looked at: the Gaussian's sigma is
 * one minute of arc at the viewing distance (what an eye with normal acuity just resolves: a narrower one works on what
 * is not seen, a wider one is seen as a halo), and the amount is solved for, both exactly, since acutance and overshoot
 * are linear in it.
 * @param target acutance, 0..1, or null for none
 * @param reliefLeft RMS of the relief that the master still has, as a share of the light; two of it are not sharpened
 */
export function solveSharpening(chain: PrintChain, target: number | null, reliefLeft = 0): SharpeningPlan {
  const sigmaPx = Math.max(
    LEAST_SIGMA_PX,
    (chain.viewingMm * Math.tan(Math.PI / 180 / 60) * chain.ppi) / MM_PER_INCH,
  )
  const scale = pixelsPerDegreeInverse(chain)
  const seen = (cpd: number) => fileTransfer(chain, cpd * scale) * printTransfer(chain, cpd * scale)
  const acutanceBefore = acutance(seen)
  const gain = acutance((cpd) => seen(cpd) * detailTransfer(sigmaPx, cpd * scale))
  const { edge, blurred } = edgeProfile(chain, sigmaPx)
  // The local extremes that the sharpening is held between already hold what the resampling overshoots, on both sides.
  const resampled = edge.reduce((most, e) => Math.max(most, e - 1), 0)
  const limit = (OVERSHOOT_LIMIT - SLANT_MARGIN - resampled) / (1 + 2 * resampled)
  const noiseFloor = Math.min(MOST_NOISE_FLOOR, Math.max(LEAST_NOISE_FLOOR, FLOOR_SIGMAS * reliefLeft))

  const wished = target === null ? 0 : (target - acutanceBefore) / gain
  const most = Math.max(0, largestAmount(edge, blurred))
  const amount = Math.max(0, Math.min(wished, most))
  return {
    sharpening: amount > 0 ? { sigmaPx, amount, limit, noiseFloor } : null,
    acutanceBefore,
    acutanceAfter: acutanceBefore + amount * gain,
    overshoot: edge.reduce((max, e, i) => Math.max(max, e + amount * (e - blurred[i]) - 1), 0),
    peakModulation: peak((f) => fileTransfer(chain, f) * (1 + amount * detailTransfer(sigmaPx, f))),
    stoppedBy:
      target === null
        ? 'switched off'
        : wished <= 0
          ? 'sharp enough'
          : wished > most
            ? 'overshoot limit'
            : 'target',
  }
}

/** The amount at which the sharpened edge just reaches the limit: e + a (e - b) <= 1 + limit everywhere. */
function largestAmount(edge: number[], blurred: number[]): number {
  return edge.reduce((least, e, i) => {
    const detail = e - blurred[i]
    return detail > 1e-6 ? Math.min(least, (1 + OVERSHOOT_LIMIT - e) / detail) : least
  }, Number.POSITIVE_INFINITY)
}

function peak(transfer: (frequency: number) => number): number {
  let most = 0
  for (let f = 0; f <= 0.5; f += 0.005) most = Math.max(most, transfer(f))
  return most
}
