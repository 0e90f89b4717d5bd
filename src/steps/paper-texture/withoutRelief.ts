import { sineWindow } from '../../raster/fft/sineWindow.js'
import { kernels, scratch } from '../../raster/kernels/kernels.js'
import { padded } from '../../raster/padded.js'
import type { Rect } from '../../raster/Rect.js'
import type { Source } from '../../raster/Source.js'
import { emptyTile, type Tile } from '../../raster/Tile.js'
import { LOG_OFFSET, LUMINANCE } from './logLuminance.js'

/** How the relief is taken off, besides its spectrum. */
export interface ReliefFilter {
  /** Window size in pixels; windows are half of it apart, on a grid that starts at the picture's corner. */
  n: 64
  /** The relief's power, `n * n`, in the units of `powerSpectrum` over log2 luminance. */
  relief: Float32Array
  /** Multiples of the relief's power taken off in the pilot and in the final gain. */
  pilotOver: number
  finalOver: number
  /** Share of relief amplitude taken away, 0..1. */
  amount: number
}

/**
 * The picture without its relief: windows' spectra of log luminance attenuated in two stages, and all three channels
 * multiplied by the factor that makes up the difference.
 */
export function withoutRelief(source: Source, filter: ReliefFilter): Source {
  const { width, height } = source
  return {
    width,
    height,
    region(rect) {
      if (rect.x < 0 || rect.y < 0 || rect.x + rect.width > width || rect.y + rect.height > height) {
        throw new RangeError('the region leaves the picture')
      }
      return filtered(source, rect, filter)
    },
  }
}

/** First and last pixel of windows along one axis; windows are `step` apart and come in pairs from an even one. */
function windowsOver(from: number, to: number, n: number, step: number, pairs: boolean) {
  let first = Math.floor((from - n) / step) + 1
  let last = Math.ceil(to / step) - 1
  if (pairs) {
    first = Math.floor(first / 2) * 2
    last = Math.floor(last / 2) * 2 + 1
  }
  return { start: first * step, end: last * step + n, count: last - first + 1 }
}

function windowsOfRect(rect: Rect, n: number, step: number) {
  const across = windowsOver(rect.x, rect.x + rect.width, n, step, true)
  const down = windowsOver(rect.y, rect.y + rect.height, n, step, false)
  const area: Rect = {
    x: across.start,
    y: down.start,
    width: across.end - across.start,
    height: down.end - down.start,
  }
  return { area, columns: across.count, rows: down.count }
}

function filtered(source: Source, rect: Rect, filter: ReliefFilter): Tile {
  const { n, relief } = filter
  const step = n / 2
  const final = windowsOfRect(rect, n, step)
  const pilot = windowsOfRect(final.area, n, step)
  const tile = padded(source, pilot.area)
  const count = pilot.area.width * pilot.area.height
  const finalCount = final.area.width * final.area.height
  const stride = n + 4
  const workBytes = 8 * n * stride * 4
  const [r, g, b, noisy, cleaned, result, weights, spectrum, work] = scratch(
    ...[count * 4, count * 4, count * 4, count * 4, count * 4],
    ...[finalCount * 4, n * 4, n * stride * 4, workBytes],
  )
  const { memory, logLuminance, pilotPair, finalPair, reliefFactor } = kernels()
  const view = (offset: number, length: number) => new Float32Array(memory.buffer, offset, length)
  tile.planes.forEach((plane, c) => {
    view([r, g, b][c], count).set(plane)
  })
  logLuminance(r, g, b, noisy, count, ...LUMINANCE, LOG_OFFSET)
  view(cleaned, count).fill(0)
  view(result, finalCount).fill(0)
  view(weights, n).set(sineWindow(n))
  const rows = view(spectrum, n * stride)
  for (let y = 0; y < n; y++) {
    rows.set(relief.subarray(y * n, (y + 1) * n), y * stride)
    rows[y * stride + n] = relief[y * n]
  }

  const pilotRow = pilot.area.width * 4
  const finalRow = final.area.width * 4
  for (let j = 0; j < pilot.rows; j++) {
    for (let i = 0; i < pilot.columns; i += 2) {
      const at = j * step * pilotRow + i * step * 4
      const next = at + step * 4
      pilotPair(
        ...([noisy + at, noisy + next, pilotRow, cleaned + at, cleaned + next, pilotRow] as const),
        ...([weights, spectrum, filter.pilotOver, 0, work, n] as const),
      )
    }
  }
  const dx = final.area.x - pilot.area.x
  const dy = final.area.y - pilot.area.y
  for (let j = 0; j < final.rows; j++) {
    for (let i = 0; i < final.columns; i += 2) {
      const from = (dy + j * step) * pilotRow + (dx + i * step) * 4
      const to = j * step * finalRow + i * step * 4
      const next = step * 4
      finalPair(
        ...([noisy + from, noisy + from + next, pilotRow] as const),
        ...([cleaned + from, cleaned + from + next, pilotRow] as const),
        ...([result + to, result + to + next, finalRow] as const),
        ...([weights, spectrum, filter.finalOver, work, n] as const),
      )
    }
  }

  // The factor for the whole final area, computed in place of the result: rows of the two areas differ in length.
  const out = emptyTile(rect)
  const padWidth = (rect.width + 3) & ~3
  for (let y = 0; y < rect.height; y++) {
    const inFinal = (rect.y - final.area.y + y) * finalRow + (rect.x - final.area.x) * 4
    const inPilot = (rect.y - pilot.area.y + y) * pilotRow + (rect.x - pilot.area.x) * 4
    reliefFactor(result + inFinal, noisy + inPilot, work, padWidth, filter.amount)
    const factor = view(work, rect.width)
    for (let c = 0; c < 3; c++) {
      const plane = out.planes[c]
      const from = view([r, g, b][c] + inPilot, rect.width)
      const at = y * rect.width
      for (let x = 0; x < rect.width; x++) plane[at + x] = from[x] * factor[x]
    }
  }
  return out
}
