import type { Rect } from '../../raster/Rect.js'
import type { Anchor } from './params.js'

/**
 * The largest part of a picture with the given shape.
 * @param aspect width over height
 * @param anchor which end is kept where something must go
 */
export function cropTo(picture: { width: number; height: number }, aspect: number, anchor: Anchor): Rect {
  const width = Math.min(picture.width, picture.height * aspect)
  const height = Math.min(picture.height, picture.width / aspect)
  return {
    x: (picture.width - width) * share(anchor, 'left', 'right'),
    y: (picture.height - height) * share(anchor, 'top', 'bottom'),
    width,
    height,
  }
}

function share(anchor: Anchor, near: string, far: string): number {
  const parts = anchor.split('-')
  return parts.includes(near) ? 0 : parts.includes(far) ? 1 : 0.5
}
