import type { ChartReference } from './ChartReference.js'
import { CHART24_2005 } from './sets/chart24Of2005.js'
import { CHART24_2014 } from './sets/chart24Of2014.js'

/** Every edition of the 24-patch chart that is built in. */
export const EDITIONS: readonly ChartReference[] = [CHART24_2014, CHART24_2005]

/** The built-in reference of a name, undefined where there is none. */
export function builtInReference(name: string): ChartReference | undefined {
  return EDITIONS.find((edition) => edition.name === name)
}
