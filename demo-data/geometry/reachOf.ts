import type { Rect } from '../../src/raster/Rect.js'

/**
 * The painting's pixels that a capture can see, with a margin.
 * @param outline points of the capture's outline in the painting
 * @param within what holds it: the painting, or undefined where the capture may look beyond
 */
export function reachOf(
  outline: readonly (readonly [number, number])[],
  margin: number,
  within?: { width: number; height: number },
): Rect {
  const xs = outline.map(([x]) => x)
  const ys = outline.map(([, y]) => y)
  const held = (value: number, least: number, most: number) =>
    within ? Math.min(Math.max(value, least), most) : value
  const left = held(Math.floor(Math.min(...xs)) - margin, 0, Number.POSITIVE_INFINITY)
  const top = held(Math.floor(Math.min(...ys)) - margin, 0, Number.POSITIVE_INFINITY)
  const right = held(Math.ceil(Math.max(...xs)) + margin + 1, Number.NEGATIVE_INFINITY, within?.width ?? 0)
  const bottom = held(Math.ceil(Math.max(...ys)) + margin + 1, Number.NEGATIVE_INFINITY, within?.height ?? 0)
  return { x: left, y: top, width: right - left, height: bottom - top }
}
