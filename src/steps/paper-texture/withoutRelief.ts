import type { WindowSize } from '../../raster/fft/powerSpectrum.js'
import { sineWindow } from '../../raster/fft/sineWindow.js'
import { kernels, scratch } from '../../raster/kernels/kernels.js'
import { padded } from '../../raster/padded.js'
import type { Rect } from '../../raster/Rect.js'
import type { Source } from '../../raster/Source.js'
import { emptyTile, type Tile } from '../../raster/Tile.js'
import { LOG_OFFSET, LUMINANCE } from './logLuminance.js'
import { windowsOfRect } from './windowGrid.js'

/** How the relief is taken off, besides its spectrum. */
export interface ReliefFilter {
  /** Window size and distance in pixels; the grid starts at the picture's corner. */
  n: WindowSize
  step: number
  /** The relief's power, `n * n`, in the units of `powerSpectrum` over log2 luminance. */
  relief: Float32Array
  /** Multiples of the relief's power taken off in the pilot and in the final gain. */
  pilotOver: number
  finalOver: number
  /** Damping of the fit of luminance to the colour ratios, a multiple of the window's pixel count. */
  ridge: number
  /**
   * By how much red over green, and blue over green, change with luminance in the relief itself, as logarithms: 0, 0
   * where relief multiplies all channels alike; else the capture's own curves have coloured it.
   */
  tint: readonly [number, number]
  /** Share of relief amplitude taken away, 0..1. */
  amount: number
}

/** Larger regions are made in parts, so that memory stays bounded by the part. */
const MOST_PX = 1024

/**
 * The picture without its relief: windows' spectra of log luminance attenuated in two stages, and all three channels
 * multiplied by the factor that makes up the difference, so that colour ratios stay as they are (but for a stated tint).
 *
 * Log luminance y = mix + rest, where the mix of the two colour ratios that a window's luminance follows best is picture
 * for certain: relief multiplies all channels alike and leaves the ratios alone. Only the rest is filtered.
 */
export function withoutRelief(source: Source, filter: ReliefFilter): Source {
  const { width, height } = source
  const spectra = filterSpectra(filter)
  return {
    width,
    height,
    region(rect) {
      if (rect.x < 0 || rect.y < 0 || rect.x + rect.width > width || rect.y + rect.height > height) {
        throw new RangeError('the region leaves the picture')
      }
      if (rect.width <= MOST_PX && rect.height <= MOST_PX) return filtered(source, rect, filter, spectra)
      const out = emptyTile(rect)
      for (let y = 0; y < rect.height; y += MOST_PX) {
        for (let x = 0; x < rect.width; x += MOST_PX) {
          const part = {
            x: rect.x + x,
            y: rect.y + y,
            width: Math.min(MOST_PX, rect.width - x),
            height: Math.min(MOST_PX, rect.height - y),
          }
          place(filtered(source, part, filter, spectra), out)
        }
      }
      return out
    },
  }
}

function place(part: Tile, whole: Tile): void {
  const { x, y, width, height } = part.rect
  part.planes.forEach((plane, c) => {
    for (let j = 0; j < height; j++) {
      const to = (y - whole.rect.y + j) * whole.rect.width + x - whole.rect.x
      whole.planes[c].set(plane.subarray(j * width, (j + 1) * width), to)
    }
  })
}

/** The kernel's three planes, n rows of n + 4: 1 / power; the same with a floor, for the fit; share of all power. */
function filterSpectra({ n, relief }: ReliefFilter): Float32Array {
  const stride = n + 4
  const planes = new Float32Array(3 * n * stride)
  const sum = relief.reduce((a, b) => a + b, 0)
  const floor = (0.02 * sum) / (n * n)
  for (let y = 0; y < n; y++) {
    for (let x = 0; x < stride; x++) {
      const power = relief[y * n + (x % n)]
      const at = y * stride + x
      planes[at] = 1 / (power + 1e-5 * floor)
      planes[n * stride + at] = 1 / (power + floor)
      planes[2 * n * stride + at] = power / sum
    }
  }
  return planes
}

function filtered(source: Source, rect: Rect, filter: ReliefFilter, spectraPlanes: Float32Array): Tile {
  const { n, step } = filter
  const final = windowsOfRect(rect, n, step)
  const pilot = windowsOfRect(final.area, n, step)
  const tile = padded(source, pilot.area)
  const count = pilot.area.width * pilot.area.height
  const finalCount = final.area.width * final.area.height
  const stride = n + 4
  const [
    red,
    green,
    blue,
    y,
    rg,
    bg,
    cleaned,
    cleanedWeight,
    result,
    resultWeight,
    weights,
    spectra,
    mixes,
    work,
  ] = scratch(
    ...Array.from({ length: 8 }, () => count * 4),
    ...[finalCount * 4, finalCount * 4, n * 4, spectraPlanes.byteLength, pilot.rows * pilot.columns * 8],
    12 * n * (stride + 8) * 4,
  )
  const { memory, logPlanes, pilotPair, finalPair, divideByWeights, reliefFactor, multiply } = kernels()
  const view = (offset: number, length: number) => new Float32Array(memory.buffer, offset, length)
  const channels = [red, green, blue]
  tile.planes.forEach((plane, c) => {
    view(channels[c], count).set(plane)
  })
  logPlanes(red, green, blue, y, rg, bg, count, ...LUMINANCE, LOG_OFFSET, ...filter.tint)
  for (const offset of [cleaned, cleanedWeight]) view(offset, count).fill(0)
  for (const offset of [result, resultWeight]) view(offset, finalCount).fill(0)
  view(weights, n).set(sineWindow(n))
  view(spectra, spectraPlanes.length).set(spectraPlanes)

  const pilotRow = pilot.area.width * 4
  const finalRow = final.area.width * 4
  const next = step * 4
  for (let j = 0; j < pilot.rows; j++) {
    for (let i = 0; i < pilot.columns; i += 2) {
      const at = j * step * pilotRow + i * next
      pilotPair(
        ...([y, rg, bg, at, at + next, pilotRow, cleaned, cleanedWeight, weights, spectra] as const),
        ...([
          filter.pilotOver,
          (filter.ridge * n * n) / 2,
          mixes + (j * pilot.columns + i) * 8,
          work,
          n,
        ] as const),
      )
    }
  }
  divideByWeights(cleaned, cleanedWeight, count)
  const dx = (final.area.x - pilot.area.x) / step
  const dy = (final.area.y - pilot.area.y) / step
  for (let j = 0; j < final.rows; j++) {
    for (let i = 0; i < final.columns; i += 2) {
      const from = (dy + j) * step * pilotRow + (dx + i) * next
      const to = j * step * finalRow + i * next
      finalPair(
        ...([y, rg, bg, cleaned, from, from + next, pilotRow, result, resultWeight, to, to + next] as const),
        ...([finalRow, weights, spectra, filter.finalOver] as const),
        ...([mixes + ((dy + j) * pilot.columns + dx + i) * 8, work, n] as const),
      )
    }
  }
  divideByWeights(result, resultWeight, finalCount)

  const out = emptyTile(rect)
  const registers = (rect.width + 3) & ~3
  const amounts = channelAmounts(filter)
  for (let row = 0; row < rect.height; row++) {
    const inFinal = (rect.y - final.area.y + row) * finalRow + (rect.x - final.area.x) * 4
    const inPilot = (rect.y - pilot.area.y + row) * pilotRow + (rect.x - pilot.area.x) * 4
    let amount = Number.NaN
    for (let c = 0; c < 3; c++) {
      if (amounts[c] !== amount) {
        amount = amounts[c]
        reliefFactor(result + inFinal, y + inPilot, work, registers, amount)
      }
      // In place: the channel's row is not looked at again.
      multiply(channels[c] + inPilot, work, registers)
      out.planes[c].set(view(channels[c] + inPilot, rect.width), row * rect.width)
    }
  }
  return out
}

/** How much of the change of luminance each channel takes: all alike without tint; weighted to the same luminance. */
function channelAmounts({ tint: [red, blue], amount }: ReliefFilter): [number, number, number] {
  const green = 1 - LUMINANCE[0] * red - LUMINANCE[2] * blue
  return [amount * (green + red), amount * green, amount * (green + blue)]
}
