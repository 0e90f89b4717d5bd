import type { View } from '../../views/View.js'
import { type Features, findFeatures } from './findFeatures.js'

/** Each view is asked for every pair it is in. */
const known = new WeakMap<View, Features>()

export function rememberFeatures(view: View, features: Features): void {
  known.set(view, features)
}

export function featuresOf(view: View): Features {
  const found = known.get(view) ?? findFeatures(view)
  known.set(view, found)
  return found
}
