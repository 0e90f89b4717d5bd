/**
 * Radial distortion of a lens: a point at distance r from the centre, in units of `unitPx`, is seen at
 * r (1 + k1 r^2 + k2 r^4). Negative: barrel, positive: pincushion.
 * Source: D. C. Brown, "Close-range camera calibration", Photogrammetric Engineering 37(8), 1971, pp. 855-866 (radial
 * terms; the direction, from undistorted to seen, as in Z. Zhang, "A flexible new technique for camera calibration",
 * IEEE Trans. PAMI 22(11), 2000, pp. 1330-1334, doi:10.1109/34.888718; both from memory).
 */
export interface Lens {
  /** The centre, in the pixels of the picture that was seen through it. */
  x: number
  y: number
  /** Half the picture's diagonal, so that r is 1 in its corners. */
  unitPx: number
  k1: number
  k2: number
}

/** Beyond this r^2 the factor is held: what lies far outside the picture must not come back into it. */
export const HELD_BEYOND = 1.7

/** Where a point is seen through a lens. */
export function distorted({ x, y, unitPx, k1, k2 }: Lens, px: number, py: number): [x: number, y: number] {
  const [dx, dy] = [px - x, py - y]
  const r2 = Math.min((dx * dx + dy * dy) * (1 / (unitPx * unitPx)), HELD_BEYOND)
  const factor = 1 + r2 * (k1 + k2 * r2)
  return [x + dx * factor, y + dy * factor]
}

/** The point that is seen at a place: `distorted` backwards, by Newton's steps on the distance. */
export function undistorted({ x, y, unitPx, k1, k2 }: Lens, px: number, py: number): [x: number, y: number] {
  const [dx, dy] = [px - x, py - y]
  const seen = Math.hypot(dx, dy) / unitPx
  if (seen === 0) return [px, py]
  const most = Math.sqrt(HELD_BEYOND)
  const held = 1 + HELD_BEYOND * (k1 + k2 * HELD_BEYOND)
  if (seen >= most * held) return [x + dx / held, y + dy / held]
  let r = seen
  for (let i = 0; i < 20; i++) {
    const r2 = r * r
    const step = (r * (1 + r2 * (k1 + k2 * r2)) - seen) / (1 + r2 * (3 * k1 + 5 * k2 * r2))
    r -= step
    if (Math.abs(step) < 1e-13) break
  }
  return [x + (dx * r) / seen, y + (dy * r) / seen]
}
