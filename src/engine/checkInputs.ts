import { inputTransform } from '../colour/profiles/inputTransform.js'
import { readBytes } from '../files/readBytes.js'
import { readHeader } from '../files/readHeader.js'
import type { Pipeline } from '../pipeline/Pipeline.js'
import { allProblems } from './allProblems.js'
import { auxiliariesOf } from './auxiliariesOf.js'
import { picturesBeside } from './besideOf.js'
import { captureTransform } from './captureTransform.js'

/**
 * Reads the header of every picture a run will decode, and the profiles that say what its captures' numbers mean.
 * @throws RequestError with all that cannot be used, before hours of work on those that can
 */
export async function checkInputs(pipeline: Pipeline): Promise<void> {
  const { profile } = pipeline.captures
  if (profile && profile !== 'none') await inputTransform(await readBytes(profile), profile)
  const auxiliary = auxiliariesOf(pipeline).filter(({ kind }) => kind === 'capture')
  const captures = new Set([...pipeline.captures.files, ...auxiliary].map(({ path }) => path))
  const beside = picturesBeside(pipeline).map(({ path }) => path)
  await allProblems([...new Set([...captures, ...beside])], async (path) => {
    const header = await readHeader(path)
    // A named profile stands for all, and was read above.
    if (captures.has(path) && !profile) await captureTransform(header, path, undefined)
  })
}
