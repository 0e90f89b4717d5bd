import { builtInReference } from '../../colour/charts/builtInReference.js'
import type { ChartReference } from '../../colour/charts/ChartReference.js'
import { readReference } from '../../colour/charts/cgats/readReference.js'
import { RequestError } from '../../errors.js'
import type { ReadContext } from '../contract.js'
import type { Params } from './params.js'

/** The reference the params name: a built-in edition, or one read from a CGATS text file. */
export async function referenceFor(
  { reference, grid }: Pick<Params, 'reference' | 'grid'>,
  context: Pick<ReadContext, 'auxiliaryText'>,
): Promise<ChartReference> {
  if (grid && builtInReference(reference)) {
    throw new RequestError({
      where: 'colour.grid',
      what: `${reference} is a chart of 24 patches, which needs no grid`,
      expected: 'with grid, the reference of that chart as a CGATS text file',
      todo: 'Name the file: reference: my-chart.txt, or leave grid out',
    })
  }
  return builtInReference(reference) ?? readReference(await context.auxiliaryText(reference), reference, grid)
}
