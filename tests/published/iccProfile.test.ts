import { describe, expect, it } from 'vitest'
import { profileBytes } from '../../src/colour/profiles/profileBytes.js'
import { SPACE_NAMES } from '../../src/colour/spaces/SpaceName.js'

/**
 * Our profiles' bytes against ICC.1:2022 (profile version 4.4), clause by clause. The clauses were read as quoted in the
 * sources of SerenityOS, LibGfx/ICC (BSD-2-Clause); where a fact is from memory, no check stands on it.
 */
describe.each(SPACE_NAMES)('the profile of %s', (name) => {
  const bytes = profileBytes(name)
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length)
  const text = (at: number, length = 4) => String.fromCharCode(...bytes.subarray(at, at + length))
  const hex = (at: number, length: number) =>
    Array.from(bytes.subarray(at, at + length), (byte) => byte.toString(16).padStart(2, '0')).join('')
  const tags = Array.from({ length: view.getUint32(128) }, (_, i) => {
    const at = 132 + 12 * i
    return { name: text(at), offset: view.getUint32(at + 4), size: view.getUint32(at + 8) }
  })
  const tag = (wanted: string) => tags.find((one) => one.name === wanted)!

  it('7.2.2: bytes 0 to 3 are its exact size, a multiple of 4', () => {
    expect(view.getUint32(0)).toBe(bytes.length)
    expect(bytes.length % 4).toBe(0)
  })
  it('7.2.4: version 4.4 is 04400000h', () => expect(hex(8, 4)).toBe('04400000'))
  it('7.2.6, 7.2.7: RGB, connected by XYZ', () => expect(text(16, 8)).toBe('RGB XYZ '))
  it('4.2: the date is a date', () => {
    const [year, month, day, hour, minute, second] = [24, 26, 28, 30, 32, 34].map((at) => view.getUint16(at))
    expect(new Date(Date.UTC(year, month - 1, day, hour, minute, second)).getUTCMonth()).toBe(month - 1)
    expect(year).toBeGreaterThan(2000)
  })
  it('7.2.9: acsp, 61637370h', () => expect(hex(36, 4)).toBe('61637370'))
  it('7.2.15: intent 1, media-relative colorimetric', () => expect(view.getUint32(64)).toBe(1))
  it('7.2.16: the illuminant is 0000F6D6h 00010000h 0000D32Dh', () => {
    expect(hex(68, 12)).toBe('0000f6d6000100000000d32d')
  })
  it('7.2.18: an ID of zeros says that none was computed', () => expect(hex(84, 16)).toBe('0'.repeat(32)))
  it('7.2.19: bytes 100 to 127 are zero', () => expect(hex(100, 28)).toBe('0'.repeat(56)))

  it('8.2, 8.4.3: it has the tags of a matrix display profile', () => {
    const required = ['desc', 'cprt', 'wtpt', 'rXYZ', 'gXYZ', 'bXYZ', 'rTRC', 'gTRC', 'bTRC']
    expect(tags.map((one) => one.name)).toEqual(expect.arrayContaining(required))
    // 8.2: chad where the adopted white differs from the connection space's.
    expect(tag('chad')).toBeDefined()
  })
  it('7.3: elements on 4-byte boundaries, no gaps but padding, none twice, shared only whole', () => {
    expect(new Set(tags.map((one) => one.name)).size).toBe(tags.length)
    const elements = [...new Map(tags.map((one) => [`${one.offset}+${one.size}`, one])).values()]
    let end = 128 + 4 + 12 * tags.length
    for (const { offset, size } of elements.sort((a, b) => a.offset - b.offset)) {
      expect(offset).toBe(end)
      end = offset + size + (-size & 3)
    }
    expect(end).toBe(bytes.length)
  })
  it('9.2.22, 9.2.43, 10.15: desc and cprt are multiLocalizedUnicodeType in UTF-16BE', () => {
    for (const [which, wanted] of [
      ['desc', name],
      ['cprt', 'No copyright, use freely (CC0)'],
    ]) {
      const { offset } = tag(which)
      expect(text(offset)).toBe('mluc')
      expect([view.getUint32(offset + 8), view.getUint32(offset + 12)]).toEqual([1, 12])
      expect(text(offset + 16, 4)).toBe('enUS')
      const [length, start] = [view.getUint32(offset + 20), view.getUint32(offset + 24)]
      const found = new TextDecoder('utf-16be').decode(
        bytes.subarray(offset + start, offset + start + length),
      )
      expect(found).toBe(wanted)
    }
  })
  it('9.2.36: a display’s white is the connection space’s', () => {
    expect(text(tag('wtpt').offset)).toBe('XYZ ')
    expect(hex(tag('wtpt').offset + 8, 12)).toBe('0000f6d6000100000000d32d')
  })
  it('9.2.46: the colorants are XYZType, and sum to that white', () => {
    const columns = ['rXYZ', 'gXYZ', 'bXYZ'].map((which) => {
      const { offset, size } = tag(which)
      expect([text(offset), size]).toEqual(['XYZ ', 20])
      return [8, 12, 16].map((at) => view.getInt32(offset + at))
    })
    const sums = [0, 1, 2].map((row) => columns.reduce((sum, column) => sum + column[row], 0))
    expect(sums).toEqual([0xf6d6, 0x10000, 0xd32d])
  })
  it('9.2.15: chad is s15Fixed16ArrayType with nine values', () => {
    expect([text(tag('chad').offset), tag('chad').size]).toEqual(['sf32', 8 + 36])
  })
  it('10.18: the curves are parametricCurveType of function type 0 or 3, with 1 or 5 parameters', () => {
    const { offset, size } = tag('gTRC')
    expect(text(offset)).toBe('para')
    const kind = view.getUint16(offset + 8)
    expect(kind).toBe(name === 'opRGB' ? 0 : 3)
    expect(size).toBe(12 + 4 * (kind === 0 ? 1 : 5))
    const parameters = Array.from(
      { length: (size - 12) / 4 },
      (_, i) => view.getInt32(offset + 12 + 4 * i) / 65536,
    )
    const standard = {
      // IEC 61966-2-1:1999
      sRGB: [2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045],
      'Display P3': [2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045],
      // The exponent of the 1998 encoding is 563/256, which the number format holds exactly.
      opRGB: [2.19921875],
      // ISO 22028-2
      'ROMM RGB': [1.8, 1, 0, 1 / 16, 1 / 32],
    }[name]
    parameters.forEach((value, i) => {
      expect(Math.abs(value - standard[i])).toBeLessThanOrEqual(0.5 / 65536)
    })
  })
})

describe('s15Fixed16 integers of the colorants', () => {
  // Worked out apart from this project from the standards' primaries and the Bradford matrix; a unit may go to the
  // largest entry of a row so that the row sums to white.
  it.each([
    ['sRGB', [28576, 25239, 9375, 14581, 46983, 3972, 912, 6361, 46787]],
    ['opRGB', [39960, 13453, 9777, 20389, 41004, 4143, 1276, 3989, 48795]],
    ['ROMM RGB', [52279, 8858, 2053, 18878, 46653, 5, 0, 1, 54060]],
    ['Display P3', [33759, 19135, 10296, 15807, 45367, 4363, -69, 2745, 51385]],
  ] as const)('%s', (name, wanted) => {
    const bytes = profileBytes(name)
    const view = new DataView(bytes.buffer)
    const offsets = Array.from({ length: view.getUint32(128) }, (_, i) => 132 + 12 * i)
    const columns = ['rXYZ', 'gXYZ', 'bXYZ'].map((which) => {
      const entry = offsets.find((at) => String.fromCharCode(...bytes.subarray(at, at + 4)) === which)!
      const offset = view.getUint32(entry + 4)
      return [8, 12, 16].map((at) => view.getInt32(offset + at))
    })
    wanted.forEach((value, i) => {
      expect(Math.abs(columns[i % 3][Math.floor(i / 3)] - value)).toBeLessThanOrEqual(1)
    })
  })
})
