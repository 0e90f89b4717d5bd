import { type Profile, signature } from './readProfile.js'

/**
 * A profile's own name, in English where it has it; `unnamed profile` where it has none that can be read.
 * Source: ICC.1:2022, 10.15 (multiLocalizedUnicodeType); ICC.1:2001-04, 6.5.17 (textDescriptionType).
 */
export function readDescription({ tags, bytes, view }: Profile): string {
  const element = tags.get('desc')
  if (!element) return UNNAMED
  const { offset, size } = element
  const type = signature(bytes, offset)
  if (type === 'mluc' && size >= 28) {
    const count = view.getUint32(offset + 8)
    const fits = (at: number) => at + 12 <= size
    const records = Array.from({ length: Math.min(count, 100) }, (_, i) => 16 + 12 * i).filter(fits)
    const record = records.find((at) => view.getUint16(offset + at) === 0x656e) ?? records[0]
    if (record === undefined) return UNNAMED
    const [length, start] = [view.getUint32(offset + record + 4), view.getUint32(offset + record + 8)]
    if (start + length > size) return UNNAMED
    return clean(new TextDecoder('utf-16be').decode(bytes.subarray(offset + start, offset + start + length)))
  }
  if ((type === 'desc' || type === 'text') && size >= 12) {
    const start = type === 'desc' ? 12 : 8
    const length = type === 'desc' ? Math.min(view.getUint32(offset + 8), size - 12) : size - 8
    return clean(
      String.fromCharCode(...bytes.subarray(offset + start, offset + start + Math.min(length, 1000))),
    )
  }
  return UNNAMED
}

const UNNAMED = 'unnamed profile'

/** Up to the first zero, without what would break a line. */
const clean = (text: string) =>
  text
    .split('\0')[0]
    .replace(/[\p{Cc}\p{Cf}]/gu, ' ')
    .trim() || UNNAMED
