import { RequestError } from '../../errors.js'
import type { Rect } from '../../raster/Rect.js'
import { type Length, toPx } from '../../units.js'
import type { MasterInfo } from '../contract.js'
import type { Anchor, Focus } from './params.js'

/**
 * The largest part of a picture with the given shape.
 * @param aspect width over height
 * @param keep which end is kept where something must go, or what must lie in the middle as far as the picture reaches
 */
export function cropTo(
  picture: { width: number; height: number },
  aspect: number,
  keep: Anchor | Rect,
): Rect {
  const width = Math.min(picture.width, picture.height * aspect)
  const height = Math.min(picture.height, picture.width / aspect)
  const [roomX, roomY] = [picture.width - width, picture.height - height]
  if (typeof keep === 'string') {
    return {
      x: roomX * share(keep, 'left', 'right'),
      y: roomY * share(keep, 'top', 'bottom'),
      width,
      height,
    }
  }
  const inside = (value: number, room: number) => Math.max(0, Math.min(room, value))
  return {
    x: inside(keep.x + keep.width / 2 - width / 2, roomX),
    y: inside(keep.y + keep.height / 2 - height / 2, roomY),
    width,
    height,
  }
}

/**
 * What is kept where a picture is cut: the focus in master pixels, or the anchor.
 * @param what names the output in errors
 * @throws RequestError where the focus leaves the picture or is nothing
 */
export function keptOf(
  what: string,
  { anchor, focus }: { anchor: Anchor; focus?: Focus },
  master: MasterInfo,
): Anchor | Rect {
  if (!focus) return anchor
  const px = (value: Length | number, side: number) =>
    typeof value === 'number' ? value * side : toPx(value, master.ppi)
  const rect = {
    x: px(focus.left, master.width),
    y: px(focus.top, master.height),
    width: px(focus.width, master.width),
    height: px(focus.height, master.height),
  }
  const slack = 1
  const inside =
    rect.x >= 0 &&
    rect.y >= 0 &&
    rect.width > 0 &&
    rect.height > 0 &&
    rect.x + rect.width <= master.width + slack &&
    rect.y + rect.height <= master.height + slack
  if (!inside) {
    const mm = (pixels: number) => Math.round((pixels / master.ppi) * 25.4)
    throw new RequestError({
      what: `${what}: the focus lies outside the picture`,
      expected: `a place inside ${mm(master.width)} x ${mm(master.height)} mm`,
      found: `${mm(rect.width)} x ${mm(rect.height)} mm at ${mm(rect.x)} mm from the left and ${mm(rect.y)} mm from the top`,
    })
  }
  return rect
}

function share(anchor: Anchor, near: string, far: string): number {
  const parts = anchor.split('-')
  return parts.includes(near) ? 0 : parts.includes(far) ? 1 : 0.5
}
