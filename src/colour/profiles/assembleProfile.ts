import { D50_XYZ } from '../whites.js'
import { joined, s15Fixed16 } from './writeTypes.js'

const HEADER_BYTES = 128

/** The connection space's white in s15Fixed16 (ICC.1:2022, 7.2.16): 0000F6D6h, 00010000h, 0000D32Dh. */
export const D50_FIXED = D50_XYZ.map(s15Fixed16)

/**
 * An RGB profile of version 4.4 with XYZ as its connection space: header, tag table and elements on 4-byte boundaries;
 * an element that several tags share is written once. The date is fixed and the profile ID is left at zero (not
 * computed), so that the same content always gives the same bytes.
 * @param deviceClass `mntr` display, `scnr` input
 * Source: ICC.1:2022, 7.2 (header), 7.3 (tag table).
 */
export function assembleProfile(
  deviceClass: 'mntr' | 'scnr',
  tags: readonly (readonly [signature: string, element: Uint8Array])[],
): Uint8Array {
  const table = new Uint8Array(4 + 12 * tags.length)
  const view = new DataView(table.buffer)
  view.setUint32(0, tags.length)
  const parts: Uint8Array[] = []
  const placed = new Map<Uint8Array, number>()
  let end = HEADER_BYTES + table.length
  tags.forEach(([signature, element], i) => {
    if (!placed.has(element)) {
      placed.set(element, end)
      const padding = -element.length & 3
      parts.push(element, new Uint8Array(padding))
      end += element.length + padding
    }
    const entry = 4 + 12 * i
    table.set(latin(signature), entry)
    view.setUint32(entry + 4, placed.get(element)!)
    view.setUint32(entry + 8, element.length)
  })
  return joined([header(deviceClass, end), table, ...parts])
}

function header(deviceClass: string, profileBytesLength: number): Uint8Array {
  const bytes = new Uint8Array(HEADER_BYTES)
  const view = new DataView(bytes.buffer)
  view.setUint32(0, profileBytesLength)
  view.setUint32(8, 0x04400000)
  bytes.set(latin(`${deviceClass}RGB XYZ `), 12)
  // Year, month and day: any fixed date does.
  for (const [i, part] of [2025, 1, 1, 0, 0, 0].entries()) view.setUint16(24 + 2 * i, part)
  bytes.set(latin('acsp'), 36)
  // Media-relative colorimetric.
  view.setUint32(64, 1)
  for (const [i, value] of D50_FIXED.entries()) view.setInt32(68 + 4 * i, value)
  return bytes
}

const latin = (text: string) => Uint8Array.from(text, (character) => character.charCodeAt(0))
