import { seeded } from './seeded.js'

/** A smooth random function of the plane: about -1..1, features about one unit apart. */
export type Noise = (x: number, y: number) => number

/**
 * Gradient noise summed over octaves, each half as strong and twice as fine as the one before.
 * @param seed which noise
 * @param octaves 1 or more
 * Source: K. Perlin, "Improving noise", ACM Trans. Graphics 21(3), 2002, doi:10.1145/566654.566636 (the fade curve).
 */
export function smoothNoise(seed: number, octaves = 1): Noise {
  const random = seeded(seed, 77)
  const order = Uint8Array.from({ length: 256 }, (_, i) => i)
  for (let i = 255; i > 0; i--) {
    const j = Math.floor(random.next() * (i + 1))
    const kept = order[i]
    order[i] = order[j]
    order[j] = kept
  }
  const angles = Float64Array.from({ length: 256 }, () => random.next() * 2 * Math.PI)
  const gx = angles.map(Math.cos)
  const gy = angles.map(Math.sin)
  const corner = (ix: number, iy: number, dx: number, dy: number) => {
    const g = order[(order[ix & 255] + iy) & 255]
    return gx[g] * dx + gy[g] * dy
  }
  const fade = (t: number) => t * t * t * (t * (t * 6 - 15) + 10)
  const once: Noise = (x, y) => {
    const ix = Math.floor(x)
    const iy = Math.floor(y)
    const dx = x - ix
    const dy = y - iy
    const u = fade(dx)
    const top = corner(ix, iy, dx, dy)
    const bottom = corner(ix, iy + 1, dx, dy - 1)
    const upper = top + u * (corner(ix + 1, iy, dx - 1, dy) - top)
    const lower = bottom + u * (corner(ix + 1, iy + 1, dx - 1, dy - 1) - bottom)
    return 1.5 * (upper + fade(dy) * (lower - upper))
  }
  return (x, y) => {
    let sum = 0
    let scale = 1
    for (let o = 0; o < octaves; o++) {
      // The offset keeps the octaves' zeros apart.
      sum += once(x * scale + 17.3 * o, y * scale - 9.7 * o) / scale
      scale *= 2
    }
    return sum
  }
}
