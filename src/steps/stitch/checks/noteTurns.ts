import type { Upright } from '../views/Upright.js'

/** Says which captures were found to have lain turned although that was not stated, and warns where it was stated otherwise. */
export function noteTurns(
  taken: readonly Upright[],
  found: readonly Upright[],
  statements: string[],
  warnings: string[],
): void {
  for (const [i, { label, turned }] of found.entries()) {
    const stated = taken[i].turned
    if (turned === stated) continue
    const says = `${label} lay turned by ${turned} degrees against the others`
    if (stated) warnings.push(`${says}, not by ${stated} as stated; it was taken as found`)
    else statements.push(`${says}; that was found, not stated`)
  }
}
