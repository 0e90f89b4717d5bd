import { describe, expect, it } from 'vitest'
import { textMask } from '../../src/files/textMask.js'

const inked = ({ width, ink }: { width: number; ink: Uint8Array }, from = 0, to = width) => {
  let sum = 0
  for (let i = 0; i < ink.length; i++) if (i % width >= from && i % width < to) sum += ink[i] / 255
  return sum
}

describe('text as pixels', () => {
  it('is as wide as its letters and stands on its baseline', async () => {
    const one = await textMask('H', 40)
    const two = await textMask('HH', 40)
    expect(Math.abs(two.width - 2 * one.width)).toBeLessThanOrEqual(2)
    expect(inked(two)).toBeCloseTo(2 * inked(one), -1)
    const rows = Array.from({ length: one.height }, (_, y) =>
      one.ink.subarray(y * one.width, (y + 1) * one.width).some((v) => v > 128),
    )
    // Cap height 0.66 of the type size (the typeface's own OS/2 table); nothing below the baseline.
    expect(rows.lastIndexOf(true)).toBe(one.baseline - 1)
    expect(one.baseline - rows.indexOf(true)).toBeGreaterThan(0.62 * 40)
    expect(one.baseline - rows.indexOf(true)).toBeLessThan(0.7 * 40)
  })

  it('sets other scripts, and nothing for a space', async () => {
    for (const text of ['Ω', 'Ж', 'ă', 'ế']) expect(inked(await textMask(text, 30))).toBeGreaterThan(20)
    expect(inked(await textMask(' ', 30))).toBe(0)
  })

  it('names characters it cannot set', async () => {
    await expect(textMask('a 海', 20)).rejects.toThrow(/U\+6D77/)
  })
})
