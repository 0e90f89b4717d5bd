import { joined } from '../../../src/colour/profiles/writeTypes.js'

/** Elements of ICC profiles as tests want them; layouts after ICC.1:2022, chapter 10, and ICC.1:2001-04 for version 2. */
const letters = (text: string) => Uint8Array.from(text, (character) => character.charCodeAt(0))
const words16 = (values: readonly number[]) => {
  const view = new DataView(new ArrayBuffer(values.length * 2))
  values.forEach((value, i) => {
    view.setUint16(2 * i, value)
  })
  return new Uint8Array(view.buffer)
}
const words32 = (values: readonly number[]) => {
  const view = new DataView(new ArrayBuffer(values.length * 4))
  values.forEach((value, i) => {
    view.setInt32(4 * i, value)
  })
  return new Uint8Array(view.buffer)
}
const fixed = (values: readonly number[]) => words32(values.map((value) => Math.round(value * 65536)))
const zeros = (count: number) => new Uint8Array(count)

export const xyzElement = (values: readonly number[]) => joined([letters('XYZ '), zeros(4), fixed(values)])
export const curvElement = (entries: readonly number[]) =>
  joined([letters('curv'), zeros(4), words32([entries.length]), words16(entries)])
export const paraElement = (kind: number, parameters: readonly number[]) =>
  joined([letters('para'), zeros(4), words16([kind, 0]), fixed(parameters)])
/** textDescriptionType of version 2: ASCII, then empty Unicode and script parts. */
export const descElement = (text: string) =>
  joined([
    letters('desc'),
    zeros(4),
    words32([text.length + 1]),
    letters(text),
    zeros(1 + 4 + 4 + 2 + 1 + 67),
  ])

/**
 * lut16Type from three channels to Lab or XYZ, with the 16-bit words given.
 * @param curves one input table a channel, all of one length, 16-bit words
 * @param nodes words of the node at three indices
 */
export function mft2Element(
  curves: readonly (readonly number[])[],
  size: number,
  nodes: (...indices: number[]) => readonly number[],
): Uint8Array {
  const clut: number[] = []
  const visit = (indices: number[]) => {
    if (indices.length === curves.length) clut.push(...nodes(...indices))
    else for (let i = 0; i < size; i++) visit([...indices, i])
  }
  visit([])
  return joined([
    letters('mft2'),
    zeros(4),
    Uint8Array.of(curves.length, 3, size, 0),
    fixed([1, 0, 0, 0, 1, 0, 0, 0, 1]),
    words16([curves[0].length, 2]),
    ...curves.map(words16),
    words16(clut),
    ...[0, 1, 2].map(() => words16([0, 65535])),
  ])
}

export interface ProfileRequest {
  version?: 2 | 4
  deviceClass?: string
  colourSpace?: string
  connectionSpace?: string
  tags: Record<string, Uint8Array>
}

/** A whole profile: header, tag table, elements; one that several tags share stands once. */
export function profileOf({
  version = 2,
  deviceClass = 'scnr',
  colourSpace = 'RGB ',
  connectionSpace = 'XYZ ',
  tags,
}: ProfileRequest): Uint8Array {
  const all = {
    desc: descElement('synthetic'),
    wtpt: xyzElement([0.9642, 1, 0.8249]),
    ...tags,
  }
  const names = Object.keys(all) as (keyof typeof all)[]
  let end = 128 + 4 + 12 * names.length
  const table: Uint8Array[] = [words32([names.length])]
  const elements: Uint8Array[] = []
  const placed = new Map<Uint8Array, number>()
  for (const name of names) {
    const element = all[name]
    if (!placed.has(element)) {
      placed.set(element, end)
      const padding = -element.length & 3
      elements.push(element, zeros(padding))
      end += element.length + padding
    }
    table.push(letters(name), words32([placed.get(element)!, element.length]))
  }
  const header = zeros(128)
  const view = new DataView(header.buffer)
  view.setUint32(0, end)
  view.setUint8(8, version)
  header.set(letters(deviceClass + colourSpace + connectionSpace), 12)
  header.set(words16([2025, 1, 1, 0, 0, 0]), 24)
  header.set(letters('acsp'), 36)
  header.set(fixed([0.9642, 1, 0.8249]), 68)
  return joined([header, ...table, ...elements])
}
