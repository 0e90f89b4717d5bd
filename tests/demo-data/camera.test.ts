import { describe, expect, it } from 'vitest'
import { cameraMapping } from '../../demo-data/geometry/cameraMapping.js'
import { planeMapping } from '../../demo-data/geometry/planeMapping.js'

const POSE = { x: 500, y: 300, pixelsAPixel: 1.1, turnDeg: 0, tiltDeg: 0, tiltTowardsDeg: 0 }
const LENS = { focalPx: 900, k1: 0, k2: 0 }
const SIZE = [641, 481] as const

describe('a camera’s frame', () => {
  it('held straight is the painting turned, scaled and shifted', () => {
    const map = cameraMapping({ ...POSE, turnDeg: 90 }, LENS, ...SIZE)
    const [x, y] = map(320, 240)
    expect(x).toBeCloseTo(500, 9)
    expect(y).toBeCloseTo(300, 9)
    const [right, below] = map(330, 240)
    expect(right).toBeCloseTo(500, 9)
    expect(below).toBeCloseTo(311, 9)
  })

  it('tilted sees the painting in perspective: four corners decide every other point', () => {
    const map = cameraMapping({ ...POSE, turnDeg: 7, tiltDeg: 15, tiltTowardsDeg: 40 }, LENS, ...SIZE)
    const corners = [map(0, 0), map(640, 0), map(640, 480), map(0, 480)]
    const { forward } = planeMapping([640, 480], corners)
    for (const [u, v] of [
      [320, 240],
      [100, 400],
      [600, 30],
    ]) {
      const [x, y] = map(u, v)
      const [px, py] = forward(u, v)
      expect(x).toBeCloseTo(px, 8)
      expect(y).toBeCloseTo(py, 8)
    }
  })

  it('looks where its axis points, farther away on the side it tilts towards', () => {
    const map = cameraMapping({ ...POSE, tiltDeg: 15, tiltTowardsDeg: 90 }, LENS, ...SIZE)
    const [x, y] = map(320, 240)
    expect(x).toBeCloseTo(500, 9)
    expect(y).toBeCloseTo(300, 9)
    // Along the tilt a step at the middle covers 1 / cos as much: the sheet slants away.
    const step = map(320.01, 240)[0] - map(319.99, 240)[0]
    expect(step / 0.02).toBeCloseTo(1.1 / Math.cos((15 * Math.PI) / 180), 6)
    expect(map(640, 240)[0] - x).toBeGreaterThan(x - map(0, 240)[0])
  })

  it('bends at the corners by k1 and k2 as stated', () => {
    const straight = cameraMapping(POSE, LENS, ...SIZE)
    const bent = cameraMapping(POSE, { ...LENS, k1: -0.08, k2: 0.02 }, ...SIZE)
    const corner = Math.hypot(...SIZE) / 2
    // A ray at half the corner's distance is seen at 0.5 (1 - 0.08 / 4 + 0.02 / 16).
    const seen = 0.5 * corner * (1 - 0.08 / 4 + 0.02 / 16)
    expect(bent(320 + seen, 240)[0]).toBeCloseTo(straight(320 + 0.5 * corner, 240)[0], 8)
  })
})
