import { readHeader } from '../files/readHeader.js'
import type { Pipeline } from '../pipeline/Pipeline.js'
import { allProblems } from './allProblems.js'
import { auxiliariesOf } from './auxiliariesOf.js'
import { picturesBeside } from './besideOf.js'

/**
 * Reads the header of every picture a run will decode.
 * @throws RequestError with all that cannot be used, before hours of work on those that can
 */
export async function checkInputs(pipeline: Pipeline): Promise<void> {
  const auxiliary = auxiliariesOf(pipeline).filter(({ kind }) => kind === 'capture')
  const beside = picturesBeside(pipeline)
  const paths = new Set([...pipeline.captures.files, ...auxiliary, ...beside].map(({ path }) => path))
  await allProblems([...paths], (path) => readHeader(path))
}
