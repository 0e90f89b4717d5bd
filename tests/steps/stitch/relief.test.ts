import { describe, expect, it } from 'vitest'
import { seeded } from '../../../demo-data/painter/seeded.js'
import type { Tile } from '../../../src/raster/Tile.js'
import { glintsByColour } from '../../../src/steps/stitch/combine/glintsByColour.js'
import { highlights } from '../../../src/steps/stitch/combine/highlights.js'
import { lampAxis } from '../../../src/steps/stitch/combine/lampAxis.js'
import { PLAIN } from '../../../src/steps/stitch/combine/ReliefModel.js'
import { reachOfSlopes, slopesAcross } from '../../../src/steps/stitch/combine/slopesAcross.js'

const rms = (values: ArrayLike<number>) =>
  Math.sqrt(Array.from(values).reduce((sum, value) => sum + value * value, 0) / values.length)

describe('slopes across the lamp', () => {
  // A surface of slanting waves, whose derivatives are known.
  const waves = [
    [0.11, 0.09],
    [-0.07, 0.13],
    [0.1, -0.06],
  ].map(([fx, fy]) => [2 * Math.PI * fx, 2 * Math.PI * fy])
  const slope = (along: 0 | 1, x: number, y: number) =>
    waves.reduce((sum, k, i) => sum + 0.2 * k[along] * Math.cos(k[0] * x + k[1] * y + i), 0) / 5
  const fill = ({ x, y, width, height }: Tile['rect'], along: 0 | 1) =>
    Float32Array.from({ length: width * height }, (_, i) =>
      slope(along, x + (i % width), y + Math.floor(i / width)),
    )

  it('follow from those along it, as both are derivatives of one surface', () => {
    const rect = { x: 100, y: 50, width: 70, height: 40 }
    const area = reachOfSlopes(rect)
    const found = slopesAcross(fill(area, 1), area, rect, 90)
    // Turned clockwise from the lamp's direction, across points to the left.
    const wanted = fill(rect, 0).map((value) => -value)
    expect(rms(found.map((value, i) => value - wanted[i]))).toBeLessThan(0.12 * rms(wanted))
  })

  it('have the same bits in whatever rectangle they are asked for', () => {
    const whole = { x: 5, y: -20, width: 200, height: 150 }
    const wholeArea = reachOfSlopes(whole)
    const all = slopesAcross(fill(wholeArea, 1), wholeArea, whole, 75)
    const part = { x: 77, y: 33, width: 21, height: 40 }
    const partArea = reachOfSlopes(part)
    const alone = slopesAcross(fill(partArea, 1), partArea, part, 75)
    for (let j = 0; j < part.height; j++) {
      const from = (part.y - whole.y + j) * whole.width + part.x - whole.x
      expect(alone.subarray(j * part.width, (j + 1) * part.width)).toEqual(
        all.subarray(from, from + part.width),
      )
    }
  })

  it('need the direction of the lamp, which slopes vary along most', () => {
    const random = seeded(3, 3)
    const noise = Float32Array.from({ length: 70 * 70 }, () => random.normal())
    for (const axis of [0, 40, 90, -60]) {
      const [c, s] = [Math.cos((axis * Math.PI) / 180), Math.sin((axis * Math.PI) / 180)]
      // A derivative of white noise along the axis, by differences.
      const slopes = Float32Array.from({ length: 64 * 64 }, (_, i) => {
        const at = (Math.floor(i / 64) + 2) * 70 + (i % 64) + 2
        return c * (noise[at + 1] - noise[at - 1]) + s * (noise[at + 70] - noise[at - 70])
      })
      const off = Math.abs(lampAxis([slopes]) - axis) % 180
      expect(Math.min(off, 180 - off)).toBeLessThan(8)
    }
  })
})

describe('highlights learned from colours', () => {
  const noise = { readout: 1e-7, photon: 1e-6 }
  const random = seeded(9, 9)
  /** Facets of coloured paint under two lamps, with highlights of a given strength. */
  const windows = (peak: number) =>
    Array.from({ length: 6 }, () => {
      const tint = [random.between(0.1, 0.7), random.between(0.1, 0.7), random.between(0.1, 0.7)]
      const slopes = Float32Array.from({ length: 64 * 64 }, () => 0.14 * random.normal())
      return [1, -1].map((side) =>
        tint.map((paint) =>
          slopes.map((s) => {
            const shine = peak * Math.exp(-((side * s - 0.3) ** 2) / (2 * 0.08 ** 2))
            return paint * (1 + side * s) + shine + Math.sqrt(8 * noise.photon * paint) * random.normal()
          }),
        ),
      ) as [Tile['planes'], Tile['planes']]
    })

  it('are found as strong as they are, where they are, and nowhere else', () => {
    const found = glintsByColour(windows(0.2), PLAIN, noise)!
    expect(found.peak).toBeGreaterThan(0.14)
    expect(found.peak).toBeLessThan(0.28)
    expect(Math.abs(found.slope - 0.3)).toBeLessThan(0.05)
    expect(glintsByColour(windows(0), PLAIN, noise)).toBeUndefined()
    // Nothing is steep, so what even places said stands.
    const said = { ...PLAIN, glints: { peak: 0.1, slope: 0.3, width: 0.1 } }
    expect(glintsByColour([], said, noise)).toBe(said.glints)
  })
})

describe('highlights', () => {
  const glints = { peak: 0.2, slope: 0.3, width: 0.08 }
  const colour = (...light: number[]) => light.map((value) => Float32Array.of(value)) as Tile['planes']
  const grey = (light: number) => colour(light, light, light)

  it('are what the lit side has beyond the shading of the least slope that explains it', () => {
    // Light of both sides on facets of paint, shaded and shining as the model says.
    for (const [light, s] of [
      [0.6, 0.28],
      [0.2, 0.24],
      [0.2, 0.35],
      [0.7, 0.05],
      [0.5, 0],
    ]) {
      const shine = glints.peak * Math.exp(-((s - glints.slope) ** 2) / (2 * glints.width ** 2))
      const [lit, unlit] = [light * (1 + s) + (s > 0.1 ? shine : 0), light * (1 - s)]
      const [off, other] = [
        highlights(grey(lit), grey(unlit), undefined, glints, undefined)[0],
        highlights(grey(unlit), grey(lit), undefined, glints, undefined)[0],
      ]
      expect(off).toBeCloseTo(-other, 6)
      const [left, plain] = [(lit - off + unlit) / 2, (lit + unlit) / 2]
      // Beyond the lobe's middle a lesser slope gives the same light: that is taken, and is a little off.
      const within = s > glints.slope ? 0.25 * Math.abs(plain - light) : 0.01 * light
      expect(Math.abs(left - light)).toBeLessThan(within)
    }
  })

  it('are what all colours have more of, whatever was learned of slopes', () => {
    const noise = { readout: 1e-8, photon: 1e-8 }
    for (const [paint, s, shine] of [
      [[0.1, 0.2, 0.05], 0.25, 0.15],
      [[0.3, 0.1, 0.1], 0.2, 0.05],
      [[0.5, 0.45, 0.1], 0.3, 0],
    ] as const) {
      const lit = colour(...paint.map((light) => light * (1 + s) + shine))
      const unlit = colour(...paint.map((light) => light * (1 - s)))
      expect(highlights(lit, unlit, undefined, undefined, noise)[0]).toBeCloseTo(shine, 2)
      expect(highlights(unlit, lit, undefined, undefined, noise)[0]).toBeCloseTo(-shine, 2)
    }
    // Grey says nothing, and neither do colours under much noise.
    expect(highlights(grey(0.4), grey(0.2), undefined, undefined, noise)[0]).toBe(0)
    const much = { readout: 0.01, photon: 0.01 }
    const [lit, unlit] = [colour(0.35, 0.45, 0.3), colour(0.1, 0.2, 0.05)]
    expect(Math.abs(highlights(lit, unlit, undefined, undefined, much)[0])).toBeLessThan(0.001)
  })
})
