import type { Rung } from './Fit.js'
import { ONE_BY_ONE } from './leaveOut.js'
import { termCount } from './terms.js'

/** The square roots among the terms, and the cube root of all three channels (see terms.ts). */
const SQUARES = [3, 4, 5]
const PRODUCT = 12

/**
 * Which roots a rung may use, several choices where a chart has few patches: some devices need only some of them, and a
 * root that is not needed leads astray where no patch holds it. Each choice lists the terms beyond the three channels.
 */
export function rootChoices(rung: Rung, patches: number): number[][] {
  const all = Array.from({ length: termCount(rung) - 3 }, (_, k) => k + 3)
  if (patches > ONE_BY_ONE) return [all]
  if (rung === 'root-polynomial') return subsets(SQUARES)
  if (rung === 'root-polynomial-3') return [...subsets([...SQUARES, PRODUCT]), all]
  return [all]
}

/** All choices of at least one. */
function subsets(of: readonly number[]): number[][] {
  return Array.from({ length: 2 ** of.length - 1 }, (_, k) => of.filter((_, i) => ((k + 1) >> i) & 1))
}
