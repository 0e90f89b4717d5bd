import type { InputTransform } from '../colour/InputTransform.js'
import { type DescribedTransform, inputTransform } from '../colour/profiles/inputTransform.js'
import { rawTransform } from '../colour/rawTransform.js'
import type { FileHeader } from '../files/FileHeader.js'
import { readBytes } from '../files/readBytes.js'

/**
 * How a capture's numbers become linear light.
 * @param header the capture's
 * @param label the path as the person wrote it
 * @param profile `captures.profile`: absolute path of a profile, `none` for linear numbers, undefined for the embedded one
 * @param whiteBalance what a camera raw file's numbers are balanced by: its own as shot, unless another capture's
 * @returns the transform, what the numbers were taken to mean, and whether anything said so (else sRGB stands in)
 * @throws RequestError for a profile that is none
 */
export async function captureTransform(
  header: Pick<FileHeader, 'profile' | 'raw' | 'conditions'>,
  label: string,
  profile: string | undefined,
  whiteBalance = header.raw?.whiteBalance,
): Promise<{ transform: InputTransform; description: string; tagged: boolean }> {
  if (header.raw && whiteBalance && !profile) {
    const camera = header.conditions?.device ?? 'a camera'
    const known = header.raw.toSrgb ? '' : ', whose colours are not known'
    return {
      transform: rawTransform(whiteBalance, header.raw.toSrgb),
      description: `linear numbers of ${camera}${known}`,
      tagged: true,
    }
  }
  const named = profile === 'none' ? 'linear' : profile ? await readBytes(profile) : header.profile
  const meaning = named ?? 'sRGB'
  if (!last || !isSame(last.meaning, meaning))
    last = { meaning, described: await inputTransform(meaning, profile ?? label) }
  return { ...last.described, tagged: Boolean(named) }
}

type Meaning = Parameters<typeof inputTransform>[0]

/** Captures of one device carry the same profile: its tables are made once, and stay in the processor's cache for all. */
let last: { meaning: Meaning; described: DescribedTransform } | undefined

const isSame = (one: Meaning, other: Meaning): boolean =>
  typeof one === 'string' || typeof other === 'string' ? one === other : Buffer.compare(one, other) === 0
