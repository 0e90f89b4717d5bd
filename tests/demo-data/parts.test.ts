import { describe, expect, it } from 'vitest'
import { fitSimilarity } from '../../demo-data/geometry/fitSimilarity.js'
import { inverted } from '../../demo-data/geometry/inverted.js'
import { planeMapping } from '../../demo-data/geometry/planeMapping.js'
import { resampled } from '../../demo-data/geometry/resampled.js'
import { lampDirection } from '../../demo-data/lighting/lampDirection.js'
import { reliefShading } from '../../demo-data/lighting/reliefShading.js'
import { blurred } from '../../demo-data/painter/blurred.js'
import { fieldRow } from '../../demo-data/painter/fieldRow.js'
import { insideDistance } from '../../demo-data/painter/insideDistance.js'
import { mixedLight } from '../../demo-data/painter/mixedLight.js'
import { PAPER, PIGMENTS, SURFACE } from '../../demo-data/painter/pigments.js'
import { sampledField } from '../../demo-data/painter/sampledField.js'
import { seeded } from '../../demo-data/painter/seeded.js'
import { deviceWeights } from '../../demo-data/spectra/deviceWeights.js'
import type { Transform } from '../../demo-data/Transform.js'

describe('paint on paper', () => {
  it.each(['truth', 'scanner', 'camera'] as const)(
    'is integrated over the bands as the formula says, for %s',
    (who) => {
      const weights = deviceWeights(who)
      const random = seeded(3)
      const amounts = PIGMENTS.map(() => Float32Array.from({ length: 50 }, () => random.next() ** 3 * 1.5))
      const planes = mixedLight(amounts, weights)
      for (let i = 0; i < 50; i++) {
        const reflectance = Array.from(PAPER, (paper, band) => {
          const density = PIGMENTS.reduce((sum, pigment, p) => sum + amounts[p][i] * pigment.density[band], 0)
          return SURFACE + (1 - SURFACE) * paper * Math.exp(-density)
        })
        for (let c = 0; c < 3; c++) {
          const light = reflectance.reduce((sum, r, band) => sum + r * weights[c][band], 0)
          expect(planes[c][i]).toBeCloseTo(light, 6)
        }
      }
    },
  )

  it.each(['truth', 'scanner', 'camera'] as const)('sees the perfect diffuser as 1, 1, 1: %s', (who) => {
    for (const w of deviceWeights(who)) expect(w.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 12)
  })
})

describe('the lamp on a slope', () => {
  const [width, height, ppi] = [24, 20, 254]
  // 254 ppi: a pixel is 100 micrometres, so 10 micrometres a pixel are a slope of 0.1.
  const slope = Float32Array.from({ length: width * height }, (_, i) => 10 * (i % width))
  const inside = { x: 5, y: 5, width: 10, height: 10 }
  const shade = (fromDeg: number) =>
    reliefShading(slope, width, height, ppi, 1, lampDirection(fromDeg, 45), inside).diffuse[0]

  it('follows the cosine law: rising to the right by 0.1, the lamp at 45 degrees', () => {
    const diffuse = (cosine: number) => 0.35 + (0.65 * cosine) / Math.SQRT1_2
    const n = 1 / Math.hypot(0.1, 1)
    expect(shade(90)).toBeCloseTo(diffuse(n * (Math.SQRT1_2 - 0.1 * Math.SQRT1_2)), 6)
    expect(shade(270)).toBeCloseTo(diffuse(n * (Math.SQRT1_2 + 0.1 * Math.SQRT1_2)), 6)
    expect(shade(0)).toBeCloseTo(diffuse(n * Math.SQRT1_2), 6)
  })

  it('leaves a level sheet even', () => {
    const level = new Float32Array(width * height).fill(7)
    const { diffuse } = reliefShading(level, width, height, ppi, 1, lampDirection(33, 40), inside)
    for (const value of diffuse) expect(value).toBeCloseTo(1, 6)
  })
})

describe('geometry', () => {
  const turn: Transform = [0.998, -0.06, 12.5, 0.06, 0.998, -3.25]

  it('goes there and back', () => {
    const [a, b, c, d, e, f] = inverted(turn)
    const [x, y] = [turn[0] * 30 + turn[1] * 40 + turn[2], turn[3] * 30 + turn[4] * 40 + turn[5]]
    expect(a * x + b * y + c).toBeCloseTo(30, 10)
    expect(d * x + e * y + f).toBeCloseTo(40, 10)
  })

  it('finds a known turn, and says how far points lie off', () => {
    const at = (x: number, y: number): [number, number] => [
      turn[0] * x + turn[1] * y + turn[2],
      turn[3] * x + turn[4] * y + turn[5],
    ]
    const square: [number, number][] = [
      [0, 0],
      [100, 0],
      [100, 80],
      [0, 80],
    ]
    const exact = fitSimilarity(square.map((from) => ({ from, to: at(...from) })))
    for (let i = 0; i < 6; i++) expect(exact.transform[i]).toBeCloseTo(turn[i], 10)
    expect(exact.rms).toBeLessThan(1e-9)
    // Opposite corners moved outwards and inwards by 1 cannot be met by a turn, scale or shift.
    const off = square.map((from, i) => {
      const [x, y] = at(...from)
      return { from, to: [x, y + (i % 2 ? 1 : -1)] as [number, number] }
    })
    expect(fitSimilarity(off).rms).toBeGreaterThan(0.5)
  })

  it('maps a rectangle onto its corners and back', () => {
    const corners: [number, number][] = [
      [10, 12],
      [210, 30],
      [190, 150],
      [25, 140],
    ]
    const { forward, inverse } = planeMapping([6, 4], corners)
    const rectangle: [number, number][] = [
      [0, 0],
      [6, 0],
      [6, 4],
      [0, 4],
    ]
    for (const [i, [u, v]] of rectangle.entries()) {
      expect(forward(u, v)[0]).toBeCloseTo(corners[i][0], 9)
      expect(forward(u, v)[1]).toBeCloseTo(corners[i][1], 9)
    }
    const [u, v] = inverse(...forward(2.2, 3.1))
    expect([u, v]).toEqual([expect.closeTo(2.2, 9), expect.closeTo(3.1, 9)])
  })

  it('copies whole pixels exactly and shifts a fine wave by a fraction', () => {
    const [width, height] = [64, 12]
    const wave = (x: number) => Math.sin((2 * Math.PI * x) / 8)
    const plane = Float32Array.from({ length: width * height }, (_, i) => wave(i % width))
    const all = { x: 0, y: 0, width, height }
    const [copied] = resampled([plane], all, [1, 0, 3, 0, 1, 2], 20, 5)
    for (let x = 0; x < 20; x++) expect(copied[x]).toBe(plane[2 * width + x + 3])
    const [shifted] = resampled([plane], all, [1, 0, 10.37, 0, 1, 5.5], 20, 2)
    for (let x = 0; x < 20; x++) expect(Math.abs(shifted[x] - wave(x + 10.37))).toBeLessThan(0.02)
  })
})

describe('the painter’s tools', () => {
  it.each([0.6, 1.7, 4, 11])('blurs by the deviation it is told: %d px', (sigma) => {
    const size = 121
    const impulse = new Float32Array(size * size)
    impulse[60 * size + 60] = 1
    const soft = blurred(impulse, size, size, sigma)
    let [sum, across, down] = [0, 0, 0]
    soft.forEach((v, i) => {
      sum += v
      across += v * ((i % size) - 60) ** 2
      down += v * (Math.floor(i / size) - 60) ** 2
    })
    expect(sum).toBeCloseTo(1, 4)
    // Boxes are whole pixels: the nearest to 4 px that three of them reach are 3.83 and 4.16.
    expect(Math.abs(Math.sqrt(across) / sigma - 1)).toBeLessThan(0.05)
    expect(Math.abs(Math.sqrt(down) / sigma - 1)).toBeLessThan(0.05)
  })

  it('reads a linear field exactly between its nodes', () => {
    const field = sampledField({ x: 5, y: 7, width: 23, height: 18 }, 4, (x, y) => 2 * x - 3 * y)
    const row = new Float32Array(23)
    for (const y of [7, 10, 24]) {
      fieldRow(field, y, row)
      for (let x = 0; x < 23; x++) expect(row[x]).toBeCloseTo(2 * (x + 5) - 3 * y, 4)
    }
  })

  it('knows how far inside an outline a point lies', () => {
    const square = Float64Array.of(0, 0, 10, 0, 10, 10, 0, 10)
    expect(insideDistance(square, 3, 5)).toBe(3)
    expect(insideDistance(square, -2, 5)).toBe(-2)
    expect(insideDistance(square, 13, 14)).toBe(-5)
  })

  it('draws evenly and about normally from a seed', () => {
    const random = seeded(5)
    const values = Array.from({ length: 20000 }, () => random.normal())
    const mean = values.reduce((a, b) => a + b, 0) / values.length
    const deviation = Math.sqrt(values.reduce((a, v) => a + (v - mean) ** 2, 0) / values.length)
    expect(Math.abs(mean)).toBeLessThan(0.03)
    expect(Math.abs(deviation - 1)).toBeLessThan(0.03)
    expect(seeded(5).next()).toBe(seeded(5).next())
    expect(seeded(5).next()).not.toBe(seeded(6).next())
  })
})
