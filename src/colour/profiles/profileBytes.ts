import type { SpaceName } from '../spaces/SpaceName.js'
import { space } from '../spaces/space.js'
import { assembleProfile, D50_FIXED } from './assembleProfile.js'
import { multiLocalized, parametric, s15Fixed16, s15Fixed16Array, xyz } from './writeTypes.js'

/**
 * A standard space as an ICC profile: version 4.4, display class, matrix and parametric curves.
 * The matrix is rounded so that its rows sum to the connection space's white exactly, and greys stay grey.
 * Source: ICC.1:2022, 8.4.3 (tags of a matrix display profile).
 */
export function profileBytes(name: SpaceName): Uint8Array {
  const { toXyzD50, adaptation, curve } = space(name)
  const matrix = whiteKeeping(toXyzD50)
  const column = (c: number) => xyz([matrix[c], matrix[3 + c], matrix[6 + c]])
  const trc = parametric(curve)
  return assembleProfile('mntr', [
    ['desc', multiLocalized(name)],
    ['cprt', multiLocalized('No copyright, use freely (CC0)')],
    ['wtpt', xyz(D50_FIXED)],
    ['chad', s15Fixed16Array(adaptation.map(s15Fixed16))],
    ['rXYZ', column(0)],
    ['gXYZ', column(1)],
    ['bXYZ', column(2)],
    ['rTRC', trc],
    ['gTRC', trc],
    ['bTRC', trc],
  ])
}

/** The matrix in s15Fixed16, each row's rounding put right on its largest entry. */
function whiteKeeping(matrix: readonly number[]): number[] {
  const fixed = matrix.map(s15Fixed16)
  for (let row = 0; row < 3; row++) {
    const entries = fixed.slice(row * 3, row * 3 + 3)
    const missing = D50_FIXED[row] - entries.reduce((sum, entry) => sum + entry, 0)
    fixed[row * 3 + entries.indexOf(Math.max(...entries))] += missing
  }
  return fixed
}
