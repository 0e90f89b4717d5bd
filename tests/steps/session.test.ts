import { describe, expect, it } from 'vitest'
import { RequestError } from '../../src/errors.js'
import type { CaptureInfo } from '../../src/steps/contract.js'
import { checkSession, labAt80, sessionOf } from '../../src/steps/session.js'

const CONDITIONS = { device: 'Stand Forty', timeS: 1 / 60, fNumber: 8, iso: 100, light: 'D50' }
const capture = (facts: Partial<CaptureInfo> = {}): CaptureInfo => ({
  ...{ label: 'a.tif', width: 10, height: 10, turned: 0, profile: 'sRGB', conditions: CONDITIONS },
  ...facts,
})
const told = { where: '../morning.json', step: 'colour', anyway: false }
const SAVED = sessionOf([capture()])

describe('the session of a saved reading', () => {
  it('agrees with itself, through JSON', () => {
    const saved = JSON.parse(JSON.stringify(SAVED))
    expect(checkSession(saved, sessionOf([capture(), capture({ label: 'b.tif' })]), told)).toEqual({
      differs: [],
      unknown: ['the lens'],
    })
  })

  it('is refused with the reason where device, exposure, profile or light differ', () => {
    const cases: [Partial<CaptureInfo>, RegExp][] = [
      [{ conditions: { ...CONDITIONS, device: 'Other' } }, /the device: Other instead of Stand Forty/],
      [
        { conditions: { ...CONDITIONS, timeS: 1 / 30 } },
        /the exposure: 1\/30 s, f\/8, ISO 100 instead of 1\/60 s/,
      ],
      [{ profile: 'opRGB' }, /the profile: opRGB instead of sRGB/],
      [{ conditions: { ...CONDITIONS, light: 'D65' } }, /the light: D65 instead of D50/],
    ]
    for (const [facts, words] of cases) {
      const ask = () => checkSession(SAVED, sessionOf([capture(facts)]), told)
      expect(ask).toThrow(RequestError)
      expect(ask).toThrow(words)
      expect(ask).toThrow(/\.\.\/morning\.json.*trust-reading: true/)
      const { differs } = checkSession(SAVED, sessionOf([capture(facts)]), { ...told, anyway: true })
      expect(differs.join()).toMatch(words)
    }
  })

  it('judges the light by the board where both sessions had one', () => {
    const board = (linear: [number, number, number]) => sessionOf([capture()], { label: 'board.tif', linear })
    const saved = board([0.7, 0.7, 0.7])
    // The same board dimmer is the same light; a warmer lamp is not, whatever the files say.
    expect(checkSession(saved, board([0.35, 0.35, 0.35]), told).differs).toEqual([])
    expect(() => checkSession(saved, board([0.7, 0.66, 0.5]), told)).toThrow(
      /the light: board\.tif is \d+\.\d/,
    )
  })

  it('says what could not be compared', () => {
    const bare = sessionOf([capture({ conditions: undefined })])
    expect(checkSession(SAVED, bare, told).unknown).toEqual([
      'the device',
      'the lens',
      'the exposure',
      'the light',
    ])
    expect(checkSession(undefined, bare, told).unknown.join()).toContain('does not say')
  })
})

describe('labAt80', () => {
  it('puts a neutral at L* 80 without tint, however bright', () => {
    const [l, a, b] = labAt80([0.1, 0.1, 0.1])
    expect(l).toBeCloseTo(80, 9)
    expect(Math.hypot(a, b)).toBeLessThan(0.02)
  })
})
