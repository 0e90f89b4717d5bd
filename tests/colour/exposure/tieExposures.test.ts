import { describe, expect, it } from 'vitest'
import { describeExposure } from '../../../src/colour/exposure/describeExposure.js'
import { assumeSame, relativeExposure, tieByMetadata } from '../../../src/colour/exposure/tieExposures.js'

const shot = (label: string, timeS: number, fNumber: number | undefined, iso: number) => ({
  label,
  conditions: { timeS, iso, ...(fNumber && { fNumber }) },
})

describe('exposures', () => {
  it('compare as ISO 12232 has it: twice the time, twice the sensitivity, two thirds of a stop of aperture', () => {
    const base = relativeExposure({ timeS: 1 / 60, fNumber: 8, iso: 100 })!
    expect(relativeExposure({ timeS: 1 / 30, fNumber: 8, iso: 100 })! / base).toBeCloseTo(2, 12)
    expect(relativeExposure({ timeS: 1 / 60, fNumber: 8, iso: 200 })! / base).toBeCloseTo(2, 12)
    expect(relativeExposure({ timeS: 1 / 60, fNumber: 8 / Math.SQRT2, iso: 100 })! / base).toBeCloseTo(2, 12)
    expect(relativeExposure({ fNumber: 8, iso: 100 })).toBeUndefined()
    expect(relativeExposure(undefined)).toBeUndefined()
  })

  it('tie captures to the chart by their files, and say so', () => {
    const chart = shot('chart.tif', 1 / 60, 8, 100)
    const tie = tieByMetadata(chart, [
      shot('a.tif', 1 / 30, 8, 100),
      shot('b.tif', 1 / 60, 8, 100),
      shot('c.tif', 1 / 60, 11.3137, 100),
    ])!
    expect(tie.gains[0]).toBeCloseTo(0.5, 6)
    expect(tie.gains[1]).toBe(1)
    expect(tie.gains[2]).toBeCloseTo(2, 3)
    expect(tie.statement).toContain('a.tif x 0.500 (1/30 s, f/8, ISO 100)')
    expect(tie.statement).toContain('It is assumed that the light kept its strength')
    expect(tie.warnings).toEqual([])
  })

  it('let cameras round what they write, and do without an aperture where nobody says one', () => {
    const tie = tieByMetadata(shot('chart', 1 / 60, undefined, 100), [shot('a', 1 / 60.5, undefined, 100)])!
    expect(tie.gains).toEqual([1])
    expect(tie.statement).toContain('No file says an aperture')
  })

  it('are not tied where some file does not say; the assumption is stated', () => {
    expect(tieByMetadata(shot('chart', 1 / 60, 8, 100), [{ label: 'a' }])).toBeUndefined()
    expect(tieByMetadata(shot('chart', 1 / 60, 8, 100), [shot('a', 1 / 60, undefined, 100)])).toBeUndefined()
    const assumed = assumeSame('camera', [{ label: 'a' }])
    expect(assumed.gains).toEqual([1])
    expect(assumed.statement).toContain('taken to be the same')
  })

  it('warn where they are many stops apart', () => {
    const tie = tieByMetadata(shot('chart', 1 / 500, 8, 100), [shot('a', 1 / 30, 8, 100)])!
    expect(tie.warnings.join()).toMatch(/a: more than 2 stops/)
  })

  it('read as a photographer writes them', () => {
    expect(describeExposure({ timeS: 1 / 125, fNumber: 5.6, iso: 200 })).toBe('1/125 s, f/5.6, ISO 200')
    expect(describeExposure({ timeS: 2.5 })).toBe('2.5 s')
    expect(describeExposure({})).toBeUndefined()
  })
})
