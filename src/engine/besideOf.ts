import { readHeader } from '../files/readHeader.js'
import type { Beside } from '../outputs/contract.js'
import { OUTPUTS } from '../outputs/registry.js'
import type { Pipeline } from '../pipeline/Pipeline.js'
import { allProblems } from './allProblems.js'

/** A picture that an output places besides the master. */
export interface BesidePicture {
  path: string
  /** The output and its key: `card.mark`. */
  use: string
}

/** The pictures that a pipeline's outputs place besides the master, in its order. */
export function picturesBeside({ outputs }: Pick<Pipeline, 'outputs'>): BesidePicture[] {
  return outputs.flatMap(({ kind, name, params }) =>
    (OUTPUTS.get(kind)!.pictures?.(params) ?? []).map(({ key, path }) => ({ path, use: `${name}.${key}` })),
  )
}

/**
 * Their sizes, from their headers.
 * @throws RequestError for all that are no usable pictures
 */
export async function besideOf(pipeline: Pick<Pipeline, 'outputs'>): Promise<Beside> {
  const paths = [...new Set(picturesBeside(pipeline).map(({ path }) => path))]
  return new Map(
    await allProblems(paths, async (path) => {
      const { width, height } = await readHeader(path)
      return [path, { width, height }] as const
    }),
  )
}
