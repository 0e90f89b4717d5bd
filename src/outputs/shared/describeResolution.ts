import type { Finding } from '../../findings.js'
import { MM_PER_INCH } from '../../units.js'
import type { MasterInfo } from '../contract.js'

/** Distance at which a pixel is one minute of arc, times its resolution: 87 m x 1 ppi. */
const MM_TIMES_PPI = MM_PER_INCH / Math.tan(Math.PI / 180 / 60)
/** Arm's length or less; common practice. */
const READING_MM = 300
/** Under this share of what the eye resolves, softness is seen without looking for it (180 of 300 ppi, common practice). */
const SOFT_SHARE = 0.6

/**
 * Pixels an inch that an eye with normal acuity (one minute of arc) just resolves.
 * @param viewingMm distance it is looked at from
 */
export function resolvedPpi(viewingMm: number): number {
  return MM_TIMES_PPI / viewingMm
}

/** What an effective resolution looks like, in words. */
export function resolutionWords(effectivePpi: number): string {
  const crispMm = MM_TIMES_PPI / effectivePpi
  if (crispMm <= READING_MM) return 'crisp at reading distance'
  if (crispMm <= 1000) return `fine from a metre, crisp from ${Math.ceil(crispMm / 10) * 10} mm on`
  return `will look soft from nearer than ${(crispMm / 1000).toFixed(1)} m`
}

/** Captured pixels a printed inch, as number and in words, with what it would have taken where it is little. */
export function resolutionFindings(effectivePpi: number, viewingMm: number, master: MasterInfo): Finding[] {
  const needed = resolvedPpi(viewingMm)
  const captureNeeded = (master.ppi * needed) / effectivePpi
  const findings: Finding[] = [
    {
      kind: 'number',
      name: 'effective resolution',
      value: effectivePpi,
      unit: 'ppi',
      target: `${Math.round(needed)} ppi: one minute of arc from ${Math.round(viewingMm)} mm`,
    },
    {
      kind: 'statement',
      text: `${Math.round(effectivePpi)} captured pixels a printed inch: ${resolutionWords(effectivePpi)}`,
    },
  ]
  if (effectivePpi < needed * SOFT_SHARE) {
    findings.push({
      kind: 'warning',
      text: `${Math.round(effectivePpi)} captured pixels a printed inch will look soft from ${Math.round(viewingMm)} mm, where the eye resolves ${Math.round(needed)}; a capture at ${Math.ceil(captureNeeded / 10) * 10} ppi would have been needed, or a smaller print`,
    })
  }
  if (master.ppiAssumed) {
    findings.push({
      kind: 'warning',
      text: `sizes rest on an assumed ${master.ppi} ppi; state captures.ppi or captures.size`,
    })
  }
  return findings
}
