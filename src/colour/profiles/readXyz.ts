import type { Vector3 } from '../matrix3.js'
import { type Profile, signature, unfitProfile } from './readProfile.js'

/**
 * Reads an XYZType element's first entry.
 * @throws RequestError where the tag is missing or no XYZType
 * Source: ICC.1:2022, 10.31.
 */
export function readXyz({ tags, view, bytes, label }: Profile, tag: string): Vector3 {
  const element = tags.get(tag)
  if (!element || element.size < 20 || signature(bytes, element.offset) !== 'XYZ ') {
    throw unfitProfile(label, `the ICC profile lacks a usable "${tag}"`, 'an XYZ value')
  }
  return [8, 12, 16].map((at) => view.getInt32(element.offset + at) / 65536) as Vector3
}
