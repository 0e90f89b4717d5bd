import type { CaptureInfo } from '../../contract.js'

/** Warns where captures of 8 bits a channel are joined with finer ones. */
export function noteDepths(captures: readonly CaptureInfo[], warnings: string[]): void {
  const coarse = captures.filter(({ depth }) => depth === 8)
  const finer = captures.some(({ depth }) => depth !== undefined && depth > 8)
  if (!coarse.length || !finer) return
  const names = coarse.map(({ label }) => label).join(', ')
  warnings.push(
    `captures of 8 bits a channel are joined with finer ones, all at 16: smooth washes of ${names} may show steps beside the others`,
  )
}
