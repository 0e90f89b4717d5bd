import type { Source } from '../../../src/raster/Source.js'
import { emptyTile, type Tile } from '../../../src/raster/Tile.js'
import { seeded } from '../colour/drawChart.js'

export type Triple = [number, number, number]
export type Light = (u: number, v: number) => Triple

/** A lamp that falls off from a place off the middle, a little yellower at the edges. */
export const lamp: Light = (u, v) => {
  const r2 = (u - 0.45) ** 2 + (v - 0.55) ** 2
  return [1 - 0.3 * r2, 1 - 0.33 * r2, 1 - 0.4 * r2]
}

/** A surface of one colour or of many under a lamp, with noise and black. */
export function painted(
  width: number,
  height: number,
  light: Light,
  {
    colour = [0.8, 0.78, 0.75],
    noise = 0.005,
    black = 0,
    seed = 1,
    mark,
  }: {
    colour?: Triple | ((x: number, y: number) => Triple)
    noise?: number
    black?: number | ((u: number, v: number) => number)
    seed?: number
    mark?: (x: number, y: number) => number
  } = {},
): Tile {
  const random = seeded(seed)
  const tile = emptyTile({ x: 0, y: 0, width, height })
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const [u, v] = [(x + 0.5) / width, (y + 0.5) / height]
      const lit = light(u, v)
      const paint = typeof colour === 'function' ? colour(x, y) : colour
      const level = typeof black === 'function' ? black(u, v) : black
      tile.planes.forEach((plane, c) => {
        const grain = noise * (random() + random() + random() + random() - 2) * Math.sqrt(3)
        plane[y * width + x] = paint[c] * lit[c] * (mark?.(x, y) ?? 1) + level + grain
      })
    }
  }
  return tile
}

/** (largest - smallest) / mean of a plane. */
export function range(values: ArrayLike<number>): number {
  const list = Array.from(values)
  const mean = list.reduce((a, b) => a + b, 0) / list.length
  return (list.reduce((a, b) => Math.max(a, b)) - list.reduce((a, b) => Math.min(a, b))) / mean
}

/** How uneven a source makes a light: the range of its green over an even grey in that light, over a grid of places. */
export const evened = (source: Source): number =>
  range(source.region({ x: 0, y: 0, width: source.width, height: source.height }).planes[1])
