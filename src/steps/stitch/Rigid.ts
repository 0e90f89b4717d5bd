import type { Affine } from '../../raster/warp/PlaneMap.js'

/** A turn by `angle` radians (clockwise on the picture, y points down), then a shift. */
export interface Rigid {
  angle: number
  x: number
  y: number
}

export const STILL: Rigid = { angle: 0, x: 0, y: 0 }

export function moved({ angle, x, y }: Rigid, px: number, py: number): [x: number, y: number] {
  const [c, s] = [Math.cos(angle), Math.sin(angle)]
  return [c * px - s * py + x, s * px + c * py + y]
}

/** `first`, then `second`. */
export function after(first: Rigid, second: Rigid): Rigid {
  const [x, y] = moved(second, first.x, first.y)
  return { angle: first.angle + second.angle, x, y }
}

export function backwards({ angle, x, y }: Rigid): Rigid {
  const [bx, by] = moved({ angle: -angle, x: 0, y: 0 }, x, y)
  return { angle: -angle, x: -bx, y: -by }
}

export function asAffine({ angle, x, y }: Rigid): Affine {
  const [c, s] = [Math.cos(angle), Math.sin(angle)]
  return [c, -s, x, s, c, y]
}
