import { describe, expect, it } from 'vitest'
import { SCRIPTS, scriptFont, scriptRuns } from '../../../src/files/pdf/typeface.js'
import { settable, unsettable, widthInEm } from '../../../src/outputs/shared/typeface.js'

describe('what is known of the typeface', () => {
  it('are the characters that its files have, and no others', async () => {
    const fonts = await Promise.all(SCRIPTS.map(scriptFont))
    const wrong: number[] = []
    for (let code = 0x20; code < 0x10000; code++) {
      if (code >= 0xd800 && code < 0xe000) continue
      const character = String.fromCodePoint(code)
      // What is composed otherwise is set as its normal form.
      if (character.normalize('NFC') !== character || code === 0xfeff || code === 0xffff) continue
      const has = fonts.some(({ font }) => font.hasGlyphForCodePoint(code))
      if (has !== (unsettable(character).length === 0)) wrong.push(code)
    }
    expect(wrong).toEqual([])
  })

  it('are its widths, within 2 % for words in Latin letters', async () => {
    for (const text of [
      'Harbour at low tide',
      'WWWWMMMM',
      'illicit lilt',
      'Crépuscule à marée basse',
      '1234567890',
    ]) {
      const runs = await scriptRuns(text)
      const width = runs.reduce((sum, { font, text: part }) => {
        const { positions } = font.layout(part, { kern: false, liga: false })
        return sum + positions.reduce((a, { xAdvance }) => a + xAdvance, 0) / font.unitsPerEm
      }, 0)
      expect(widthInEm(text) / width).toBeGreaterThan(0.98)
      expect(widthInEm(text) / width).toBeLessThan(1.02)
    }
  })

  it('names each missing character once', () => {
    expect(unsettable('海 at 海 and 空')).toEqual(['海', '空'])
    expect(settable('海 Ufer 🙂')).toBe('? Ufer ?')
  })
})
