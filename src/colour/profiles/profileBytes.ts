import type { SpaceName } from '../spaces/SpaceName.js'
import { space } from '../spaces/space.js'
import { D50_XYZ } from '../whites.js'
import { joined, multiLocalized, parametric, s15Fixed16, s15Fixed16Array, xyz } from './writeTypes.js'

const HEADER_BYTES = 128

/** The connection space's white in s15Fixed16 (ICC.1:2022, 7.2.16): 0000F6D6h, 00010000h, 0000D32Dh. */
const D50_FIXED = D50_XYZ.map(s15Fixed16)

/**
 * A standard space as an ICC profile: version 4.4, display class, matrix and parametric curves.
 * The date is fixed and the profile ID is left at zero (not computed), so that the same space always gives the same
 * bytes; the matrix is rounded so that its rows sum to the connection space's white exactly, and greys stay grey.
 * Source: ICC.1:2022, 7.2 (header), 7.3 (tag table), 8.4.3 (tags of a matrix display profile).
 */
export function profileBytes(name: SpaceName): Uint8Array {
  const { toXyzD50, adaptation, curve } = space(name)
  const matrix = whiteKeeping(toXyzD50)
  const column = (c: number) => xyz([matrix[c], matrix[3 + c], matrix[6 + c]])
  const trc = parametric(curve)
  return assemble([
    ['desc', multiLocalized(name)],
    ['cprt', multiLocalized('No copyright, use freely (CC0)')],
    ['wtpt', xyz(D50_FIXED)],
    ['chad', s15Fixed16Array(adaptation.map(s15Fixed16))],
    ['rXYZ', column(0)],
    ['gXYZ', column(1)],
    ['bXYZ', column(2)],
    ['rTRC', trc],
    ['gTRC', trc],
    ['bTRC', trc],
  ])
}

/** The matrix in s15Fixed16, each row's rounding put right on its largest entry. */
function whiteKeeping(matrix: readonly number[]): number[] {
  const fixed = matrix.map(s15Fixed16)
  for (let row = 0; row < 3; row++) {
    const entries = fixed.slice(row * 3, row * 3 + 3)
    const missing = D50_FIXED[row] - entries.reduce((sum, entry) => sum + entry, 0)
    fixed[row * 3 + entries.indexOf(Math.max(...entries))] += missing
  }
  return fixed
}

/** Header, tag table and elements on 4-byte boundaries; an element that several tags share is written once. */
function assemble(tags: readonly (readonly [signature: string, element: Uint8Array])[]): Uint8Array {
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
  return joined([header(end), table, ...parts])
}

function header(profileBytesLength: number): Uint8Array {
  const bytes = new Uint8Array(HEADER_BYTES)
  const view = new DataView(bytes.buffer)
  view.setUint32(0, profileBytesLength)
  view.setUint32(8, 0x04400000)
  bytes.set(latin('mntrRGB XYZ '), 12)
  // Year, month and day: any fixed date does.
  for (const [i, part] of [2025, 1, 1, 0, 0, 0].entries()) view.setUint16(24 + 2 * i, part)
  bytes.set(latin('acsp'), 36)
  // Media-relative colorimetric.
  view.setUint32(64, 1)
  for (const [i, value] of D50_FIXED.entries()) view.setInt32(68 + 4 * i, value)
  return bytes
}

const latin = (text: string) => Uint8Array.from(text, (character) => character.charCodeAt(0))
