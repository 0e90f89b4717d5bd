import { readFile } from 'node:fs/promises'
import { createRequire } from 'node:module'
import fontkit from '@pdf-lib/fontkit'
import { expect, it } from 'vitest'
import { SCRIPTS } from '../../../src/files/pdf/typeface.js'
import { unpackWoff } from '../../../src/files/pdf/unpackWoff.js'

const resolve = createRequire(import.meta.url).resolve

it('gives the font that another reader finds in the WOFF file, every table with its checksum', async () => {
  for (const script of SCRIPTS) {
    const path = resolve(`@fontsource/source-sans-3/files/source-sans-3-${script}-400-normal.woff`)
    const woff = new Uint8Array(await readFile(path))
    const bytes = unpackWoff(woff)
    const [packed, unpacked] = [fontkit.create(woff), fontkit.create(bytes)]
    expect(unpacked.postscriptName).toBe(packed.postscriptName)
    expect(unpacked.numGlyphs).toBe(packed.numGlyphs)
    expect(unpacked.characterSet).toEqual(packed.characterSet)
    for (const code of packed.characterSet.slice(0, 200)) {
      const [a, b] = [packed, unpacked].map((font) => font.glyphForCodePoint(code))
      expect(b.advanceWidth).toBe(a.advanceWidth)
      expect(b.path.toSVG()).toBe(a.path.toSVG())
    }
    // OpenType: a table's checksum is the sum of its 32-bit words; that of `head` leaves its third word out.
    const view = new DataView(bytes.buffer)
    expect(bytes.length % 4).toBe(0)
    for (let i = 0; i < view.getUint16(4); i++) {
      const at = 12 + i * 16
      const [offset, length] = [view.getUint32(at + 8), view.getUint32(at + 12)]
      const isHead = view.getUint32(at) === 0x68656164
      let sum = 0
      for (let k = 0; k < length; k += 4)
        if (!isHead || k !== 8) sum = (sum + view.getUint32(offset + k)) >>> 0
      expect(sum).toBe(view.getUint32(at + 4))
    }
  }
})
