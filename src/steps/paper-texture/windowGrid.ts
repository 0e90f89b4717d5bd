import type { Rect } from '../../raster/Rect.js'

export interface WindowGrid {
  /** What the windows cover together. */
  area: Rect
  columns: number
  rows: number
}

/**
 * The windows that touch a rectangle, from a grid that starts at the picture's corner. They come in pairs side by side,
 * an even column and the next, wherever the rectangle lies: the kernel packs a pair into one transform, and a window's
 * last bits depend on its partner.
 * @param n window size in pixels
 * @param step distance of windows in pixels
 */
export function windowsOfRect(rect: Rect, n: number, step: number): WindowGrid {
  const across = windowsOver(rect.x, rect.x + rect.width, n, step)
  const first = Math.floor(across.first / 2) * 2
  const last = Math.floor(across.last / 2) * 2 + 1
  const down = windowsOver(rect.y, rect.y + rect.height, n, step)
  return {
    area: {
      x: first * step,
      y: down.first * step,
      width: (last - first) * step + n,
      height: (down.last - down.first) * step + n,
    },
    columns: last - first + 1,
    rows: down.last - down.first + 1,
  }
}

/** Windows that touch the pixels from `from` to before `to` along one axis. */
const windowsOver = (from: number, to: number, n: number, step: number) => ({
  first: Math.floor((from - n) / step) + 1,
  last: Math.ceil(to / step) - 1,
})
