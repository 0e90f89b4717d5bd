import { describe, expect, it } from 'vitest'
import { seeded } from '../../../demo-data/painter/seeded.js'
import type { Tile } from '../../../src/raster/Tile.js'
import { axesOf } from '../../../src/raster/warp/axesOf.js'
import { distorted, type Lens, undistorted } from '../../../src/raster/warp/Lens.js'
import {
  asPlaneMap,
  composed,
  composedMaps,
  inverted,
  invertedMap,
  mapPoint,
  type PlaneMap,
  slopesAt,
} from '../../../src/raster/warp/PlaneMap.js'
import { PHASES, TAPS, TAPS_BEFORE, tapTable } from '../../../src/raster/warp/tapTable.js'
import { warpTile } from '../../../src/raster/warp/warpTile.js'
import { tileSource } from '../../helpers/readContext.js'

const random = seeded(3, 1)
const noise = (width: number, height: number): Tile => {
  const plane = () => Float32Array.from({ length: width * height }, () => random.between(0, 1))
  return { rect: { x: 0, y: 0, width, height }, planes: [plane(), plane(), plane()] }
}

const rotation = (deg: number, x: number, y: number): PlaneMap => {
  const [c, s] = [Math.cos((deg * Math.PI) / 180), Math.sin((deg * Math.PI) / 180)]
  return [c, -s, x, s, c, y, 0, 0]
}

const TABLE = tapTable()

/** The kernel in plain TypeScript: sums in float32, in the kernel's order. */
function twin({ rect, planes }: Tile, map: PlaneMap, x: number, y: number, lens?: Lens): number[] {
  const table = TABLE
  const f = Math.fround
  const ideal = mapPoint(map, x, y)
  const [u, v] = lens ? distorted(lens, ...ideal) : ideal
  const tapsU = Math.trunc((u - Math.floor(u)) * PHASES + 0.5) * TAPS
  const tapsV = Math.trunc((v - Math.floor(v)) * PHASES + 0.5) * TAPS
  return planes.map((plane) => {
    const columns = Array.from({ length: TAPS }, (_, i) => {
      let sum = 0
      for (let j = 0; j < TAPS; j++) {
        const at = (Math.floor(v) - TAPS_BEFORE + j) * rect.width + Math.floor(u) - TAPS_BEFORE + i
        sum = f(sum + f(table[tapsV + j] * plane[at]))
      }
      return sum
    })
    const lane = (i: number) => f(f(table[tapsU + i] * columns[i]) + f(table[tapsU + i + 4] * columns[i + 4]))
    return f(f(lane(0) + lane(1)) + f(lane(2) + lane(3)))
  })
}

/** The kernel that goes axis by axis in plain TypeScript. */
function twinByAxes({ rect, planes }: Tile, map: PlaneMap, x: number, y: number): number[] {
  const f = Math.fround
  const { numbers, sideways } = axesOf(map)!
  const [a, b, c, m3, m4, m5] = numbers
  const [across, down] = sideways ? [y, x] : [x, y]
  const v = m3 * across + (m4 * down + m5)
  const taps = (position: number) => Math.trunc((position - Math.floor(position)) * PHASES + 0.5) * TAPS
  return planes.map((plane) => {
    const rows = Array.from({ length: TAPS }, (_, j) => {
      const row = Math.floor(v) - TAPS_BEFORE + j
      const u = a * across + (b * row + c)
      const at = row * rect.width + Math.floor(u) - TAPS_BEFORE
      const product = (i: number) => f(TABLE[taps(u) + i] * plane[at + i])
      const lane = (i: number) => f(product(i) + product(i + 4))
      return f(f(lane(0) + lane(2)) + f(lane(1) + lane(3)))
    })
    const product = (j: number) => f(TABLE[taps(v) + j] * rows[j])
    const four = (j: number) => f(f(product(j) + product(j + 2)) + f(product(j + 4) + product(j + 6)))
    return f(four(0) + four(1))
  })
}

describe('warpTile', () => {
  const picture = noise(80, 70)
  const source = tileSource(picture)

  it.each([
    ['rotated', rotation(2.7, 12.3, 9.8)],
    ['rotated back, a little smaller', rotation(-5.9, 4.3, 18.8).map((m, i) => (i % 3 < 2 ? m / 1.1 : m))],
    ['turned by half and a little', rotation(181.3, 60.3, 58.8)],
    ['turned by a quarter between pixels', [0, 1, 10.25, -1, 0, 60.5, 0, 0]],
    ['turned by three quarters and a little', rotation(268, 10.25, 50.5)],
  ])('agrees with its twin to the bit, axis by axis: %s', (_, map) => {
    const rect = { x: 3, y: 2, width: 39, height: 25 }
    const tile = warpTile(source, map as PlaneMap, rect)
    for (let j = 0; j < rect.height; j++) {
      for (let i = 0; i < rect.width; i++) {
        const got = tile.planes.map((plane) => plane[j * rect.width + i])
        expect(got).toEqual(twinByAxes(picture, map as PlaneMap, rect.x + i, rect.y + j))
      }
    }
  })

  it.each([0.1, 0.2, 0.3])(
    'loses no more axis by axis than in all directions at once: %f cycles a pixel',
    (f) => {
      // In perspective so slight that no position changes: both axes at once.
      const both = (map: PlaneMap) => map.map((m, i) => (i === 6 ? 1e-300 : m)) as PlaneMap
      const rect = { x: 0, y: 0, width: 50, height: 40 }
      for (const deg of [0.7, -3, 5]) {
        const map = rotation(deg, 12.3, 15.7)
        for (const direction of [0, 0.5, 1, 1.5, 2, 2.5]) {
          const [fx, fy] = [f * Math.cos(direction), f * Math.sin(direction)]
          const wave = (x: number, y: number) => Math.sin(2 * Math.PI * (fx * x + fy * y))
          const plane = Float32Array.from({ length: 80 * 70 }, (_, i) => wave(i % 80, Math.floor(i / 80)))
          const waves = tileSource({ ...picture, planes: [plane, plane, plane] })
          const errorOf = (how: PlaneMap) => {
            const [got] = warpTile(waves, how, rect).planes
            const squares = got.map(
              (value, i) => (value - wave(...mapPoint(map, i % 50, Math.floor(i / 50)))) ** 2,
            )
            return Math.sqrt(squares.reduce((sum, square) => sum + square, 0) / squares.length)
          }
          expect(errorOf(map)).toBeLessThan(errorOf(both(map)) + 5e-4)
        }
      }
    },
  )

  it.each([
    ['rotated by much', rotation(17, 24.3, 9.8)],
    ['in perspective', [1, 0.02, 12, -0.01, 1, 14, 1e-4, -2e-4] satisfies PlaneMap],
  ] as const)('agrees with its twin to the bit: %s', (_, map) => {
    const rect = { x: 3, y: 2, width: 30, height: 25 }
    const tile = warpTile(source, [...map] as PlaneMap, rect)
    for (let j = 0; j < rect.height; j++) {
      for (let i = 0; i < rect.width; i++) {
        const got = tile.planes.map((plane) => plane[j * rect.width + i])
        expect(got).toEqual(twin(picture, [...map] as PlaneMap, rect.x + i, rect.y + j))
      }
    }
  })

  it.each([
    ['barrel', { x: 39.5, y: 34.5, unitPx: 53.2, k1: -0.12, k2: 0.03 }],
    ['pincushion', { x: 39.5, y: 34.5, unitPx: 53.2, k1: 0.09, k2: 0.02 }],
  ])('agrees with its twin through a lens: %s', (_, lens) => {
    const map: PlaneMap = [1.05, 0.04, 6, -0.03, 0.98, 7, 3e-4, -2e-4]
    const rect = { x: 3, y: 2, width: 60, height: 50 }
    const tile = warpTile(source, map, rect, lens)
    for (let j = 0; j < rect.height; j += 3) {
      for (let i = 0; i < rect.width; i++) {
        const got = tile.planes.map((plane) => plane[j * rect.width + i])
        expect(got).toEqual(twin(picture, map, rect.x + i, rect.y + j, lens))
      }
    }
  })

  it.each([
    [-3, undefined],
    [93, undefined],
    [-3, { x: 39.5, y: 34.5, unitPx: 53.2, k1: -0.12, k2: 0.03 }],
  ])('gives a pixel the same bits in whatever rectangle: %f degrees, %o', (deg, lens) => {
    const map = rotation(deg, deg > 0 ? 60.1 : 8.1, 15.7)
    const rect = { x: 0, y: 0, width: 60, height: 50 }
    const whole = tileSource({ ...warpTile(source, map, rect, lens), rect })
    for (const rect of [
      { x: 0, y: 0, width: 1, height: 1 },
      { x: 17, y: 9, width: 13, height: 31 },
      { x: 59, y: 0, width: 1, height: 50 },
    ]) {
      expect(warpTile(source, map, rect, lens).planes).toEqual(whole.region(rect).planes)
    }
  })

  it('copies exactly where the map takes pixels to pixels', () => {
    const rect = { x: 0, y: 0, width: 50, height: 40 }
    const shifted = warpTile(source, [1, 0, 7, 0, 1, 11, 0, 0], rect)
    expect(shifted.planes).toEqual(source.region({ ...rect, x: 7, y: 11 }).planes)
    // Turned by 180 degrees twice is the picture.
    const half: PlaneMap = [-1, 0, 79, 0, -1, 69, 0, 0]
    const back = warpTile(tileSource(warpTile(source, half, picture.rect)), half, picture.rect)
    expect(back.planes).toEqual(picture.planes)
    const quarter = warpTile(source, [0, 1, 0, -1, 0, 69, 0, 0], { x: 0, y: 0, width: 70, height: 80 })
    expect(quarter.planes[0][0]).toBe(picture.planes[0][69 * 80])
  })

  it('leaves a flat picture flat, its border included', () => {
    const flat = { ...picture, planes: picture.planes.map((p) => p.slice().fill(0.7)) as Tile['planes'] }
    const tile = warpTile(tileSource(flat), rotation(3, 0.4, -0.3), { x: 0, y: 0, width: 80, height: 70 })
    for (const plane of tile.planes)
      for (const value of plane) expect(Math.abs(value - 0.7)).toBeLessThan(3e-7)
  })

  it('puts a known pattern where the map says', () => {
    // A wave of 8 px, far from what the kernel loses.
    const wave = (x: number, y: number) => 0.5 + 0.4 * Math.sin((2 * Math.PI * (x + 0.4 * y)) / 8)
    const plane = Float32Array.from({ length: 80 * 70 }, (_, i) => wave(i % 80, Math.floor(i / 80)))
    const map = rotation(2, 9.37, 8.61)
    const rect = { x: 0, y: 0, width: 50, height: 40 }
    const tile = warpTile(tileSource({ ...picture, planes: [plane, plane, plane] }), map, rect)
    let worst = 0
    for (let i = 0; i < tile.planes[0].length; i++) {
      const [u, v] = mapPoint(map, i % 50, Math.floor(i / 50))
      worst = Math.max(worst, Math.abs(tile.planes[0][i] - wave(u, v)))
    }
    expect(worst).toBeLessThan(2e-3)
  })
})

describe('the taps', () => {
  const table = tapTable()

  /** Smallest and largest gain over all phases at a frequency in cycles a pixel. */
  const gains = (frequency: number) => {
    const all = Array.from({ length: PHASES + 1 }, (_, phase) => {
      let [re, im] = [0, 0]
      for (let k = 0; k < TAPS; k++) {
        const turn = 2 * Math.PI * frequency * (k - TAPS_BEFORE - phase / PHASES)
        re += table[phase * TAPS + k] * Math.cos(turn)
        im += table[phase * TAPS + k] * Math.sin(turn)
      }
      return Math.hypot(re, im)
    })
    return [Math.min(...all), Math.max(...all)]
  }

  it('sum to one', () => {
    for (let phase = 0; phase <= PHASES; phase++) {
      const sum = table.subarray(phase * TAPS, (phase + 1) * TAPS).reduce((s, w) => s + w, 0)
      expect(Math.abs(sum - 1)).toBeLessThan(1e-6)
    }
  })

  it('pass everything up to 0.3 cycles a pixel within 0.5 %, and at least 92 % at 0.35', () => {
    for (const frequency of [0, 0.05, 0.1, 0.15, 0.2, 0.25, 0.3]) {
      const [low, high] = gains(frequency)
      expect(low).toBeGreaterThan(0.995)
      expect(high).toBeLessThan(1.005)
    }
    expect(gains(0.35)[0]).toBeGreaterThan(0.92)
  })
})

describe('maps', () => {
  it('compose in order, and a map with its inverse is the identity in all entries', () => {
    const map = [0.98, -0.17, 12.5, 0.16, 1.01, -7.25] as const
    const identity = composed([...map], inverted([...map]))
    const entries = [1, 0, 0, 0, 1, 0]
    for (const [i, value] of identity.entries()) expect(value).toBeCloseTo(entries[i], 12)
    const first = mapPoint(asPlaneMap([...map]), 3, 4)
    const both = composed([...map], [0, -1, 5, 1, 0, 2])
    expect(mapPoint(asPlaneMap(both), 3, 4)).toEqual(mapPoint([0, -1, 5, 1, 0, 2, 0, 0], ...first))
  })
})

describe('projective maps', () => {
  const first: PlaneMap = [0.98, -0.17, 12.5, 0.16, 1.01, -7.25, 2e-4, -1e-4]
  const second: PlaneMap = [1.1, 0.05, -3, -0.02, 0.93, 8, -1e-4, 3e-4]

  it('compose in order, and a map with its inverse is the identity in all entries', () => {
    const identity = composedMaps(first, invertedMap(first))
    for (const [i, value] of identity.entries()) expect(value).toBeCloseTo(i === 0 || i === 4 ? 1 : 0, 10)
    const [x, y] = mapPoint(composedMaps(first, second), 31, 47)
    const [u, v] = mapPoint(second, ...mapPoint(first, 31, 47))
    expect(x).toBeCloseTo(u, 10)
    expect(y).toBeCloseTo(v, 10)
  })

  it('stretch as their differences say', () => {
    const slopes = slopesAt(first, 20, 30)
    const step = 1e-4
    const at = (dx: number, dy: number) => mapPoint(first, 20 + dx * step, 30 + dy * step)
    const numbers = [0, 1].flatMap((k) => [
      (at(1, 0)[k] - at(-1, 0)[k]) / (2 * step),
      (at(0, 1)[k] - at(0, -1)[k]) / (2 * step),
    ])
    for (const [k, value] of slopes.entries()) expect(value).toBeCloseTo(numbers[k], 7)
  })
})

describe('a lens', () => {
  it.each([
    [-0.15, 0.04],
    [0.1, -0.02],
    [0, 0],
  ])('is undone exactly, far outside too: k1 %f, k2 %f', (k1, k2) => {
    const lens = { x: 400, y: 300, unitPx: 500, k1, k2 }
    for (const [x, y] of [
      [400, 300],
      [10, 20],
      [799, 599],
      [-600, 1500],
    ]) {
      const [u, v] = undistorted(lens, ...distorted(lens, x, y))
      expect(u).toBeCloseTo(x, 8)
      expect(v).toBeCloseTo(y, 8)
    }
    // r = 1 in a corner: the factor there is 1 + k1 + k2.
    const [x] = distorted({ ...lens, x: 0, y: 0 }, 500, 0)
    expect(x).toBeCloseTo(500 * (1 + k1 + k2), 9)
  })
})
