import { builtInReference } from '../../colour/charts/builtInReference.js'
import type { ChartReference } from '../../colour/charts/ChartReference.js'
import { readReference } from '../../colour/charts/cgats/readReference.js'
import type { ReadContext } from '../contract.js'
import type { Params } from './params.js'

/** The reference the params name: a built-in edition, or one read from a CGATS text file. */
export async function referenceFor(
  { reference }: Pick<Params, 'reference'>,
  context: Pick<ReadContext, 'auxiliaryText'>,
): Promise<ChartReference> {
  return builtInReference(reference) ?? readReference(await context.auxiliaryText(reference), reference)
}
