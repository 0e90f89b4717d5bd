import { sineWindow } from '../../raster/fft/sineWindow.js'
import { kernels, scratch } from '../../raster/kernels/kernels.js'
import { padded } from '../../raster/padded.js'
import type { Rect } from '../../raster/Rect.js'
import type { Source } from '../../raster/Source.js'
import { emptyTile, type Tile } from '../../raster/Tile.js'
import { NOISE_FALL, NOISE_WINDOW } from './colourNoise.js'
import { continueRelief } from './continueRelief.js'
import { type FilterPlanes, filterPlanes } from './filterPlanes.js'
import { LOG_OFFSET, LUMINANCE } from './logLuminance.js'
import type { ReliefFilter } from './ReliefFilter.js'
import { type WindowGrid, windowsOfRect } from './windowGrid.js'

/** Distance of the windows that free the ratios of noise. */
const NOISE_STEP = 8
/**
 * Neighbours that a place's common part is taken from: how far they lie, how far apart they are looked at, and standard
 * deviations of their distance in pixels, of their log2 ratios and of their log2 luminance.
 */
const REACH = 12
const EVERY = 2
const NEAR_PX = 8
const LIKE_RATIO = 0.05
const LIKE_LIGHT = 0.1
const NEAR = nearness()
/** Larger regions are made in parts, so that memory stays bounded by the part. */
const MOST_PX = 1024

/**
 * The picture without its relief.
 *
 * Log luminance is y = mix + rest, where the mix of the two colour ratios that a window's luminance follows best is
 * picture for certain: relief multiplies all channels alike and leaves the ratios alone. The ratios are first freed of the
 * capture's noise, which would hide the smaller half of what they tell; then the windows' spectra of the rest are
 * attenuated in two stages by the relief's power. Before the second, what the first left is averaged over neighbours of
 * like colour and light (the joint bilateral filter; Tomasi and Manduchi 1998, Petschnigg et al. 2004): that common part is
 * picture, mostly of edges, and is set aside, so that windows over an edge pass less relief. The pixels take the new
 * luminance and the steadied ratios.
 */
export function withoutRelief(source: Source, filter: ReliefFilter): Source {
  const { width, height } = source
  const planes = filterPlanes(filter)
  return {
    width,
    height,
    region(rect) {
      if (rect.x < 0 || rect.y < 0 || rect.x + rect.width > width || rect.y + rect.height > height) {
        throw new RangeError('the region leaves the picture')
      }
      if (rect.width <= MOST_PX && rect.height <= MOST_PX) return filtered(source, rect, filter, planes)
      const out = emptyTile(rect)
      for (let y = 0; y < rect.height; y += MOST_PX) {
        for (let x = 0; x < rect.width; x += MOST_PX) {
          const part = {
            x: rect.x + x,
            y: rect.y + y,
            width: Math.min(MOST_PX, rect.width - x),
            height: Math.min(MOST_PX, rect.height - y),
          }
          place(filtered(source, part, filter, planes), out)
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

function filtered(source: Source, rect: Rect, filter: ReliefFilter, planes: FilterPlanes): Tile {
  const { scales, tint } = filter
  const finals = scales.map(({ n, step }) => windowsOfRect(rect, n, step))
  const final = around(finals)
  const pilots = scales.map(({ n, step }) => windowsOfRect(grown(final, REACH), n, step))
  const steady = windowsOfRect(around(pilots), NOISE_WINDOW, NOISE_STEP)
  const area = around([...pilots, steady])
  const tile = padded(source, area)
  const count = area.width * area.height
  const finalCount = final.width * final.height
  const widest = Math.max(NOISE_WINDOW, ...scales.map(({ n }) => n))
  const memoryFor = scratch(
    ...Array.from({ length: 8 }, () => count * 4),
    ...[finalCount * 4, finalCount * 4, widest * 4, 12 * widest * (widest + 12) * 4, NEAR.byteLength, 16],
    ...(planes.noise ? [planes.noise.byteLength] : [16]),
    ...planes.scales.map((spectra) => spectra.byteLength),
    ...pilots.map(({ rows, columns }) => rows * columns * 16),
  )
  const [y, rg, bg, steadyRed, steadyBlue, weightSum, cleaned, rest] = memoryFor
  const [common, resultWeight, weights, work, near, paper, noise] = memoryFor.slice(8)
  const spectra = memoryFor.slice(15, 15 + scales.length)
  const mixes = memoryFor.slice(15 + scales.length)
  const { memory, logPlanes, steadyGrid, pilotGrid, finalGrid, divideByWeights, recolour } = kernels()
  const { jointBilateral, setAside, addRow } = kernels()
  const view = (offset: number, length: number) => new Float32Array(memory.buffer, offset, length)
  // The channels stand where the steadied ratios come to stand later: memory is counted in workers times planes.
  tile.planes.forEach((plane, c) => {
    view([steadyRed, steadyBlue, weightSum][c], count).set(plane)
  })
  logPlanes(steadyRed, steadyBlue, weightSum, y, rg, bg, count, ...LUMINANCE, LOG_OFFSET, ...tint)
  if (filter.paper && filter.beyond) {
    const [light, red, blue] = [y, rg, bg].map((offset) => view(offset, count))
    continueRelief(light, red, blue, area, source, filter.beyond, filter.paper)
  }
  planes.scales.forEach((own, s) => {
    view(spectra[s], own.length).set(own)
  })
  // Beyond every picture's light where the sheet is not known: all of it then counts as painted.
  view(paper, 3).set(filter.paper ? [filter.paper.light, filter.paper.red, filter.paper.blue] : [99, 0, 0])
  view(near, NEAR.length).set(NEAR)
  const row = area.width * 4
  const finalRow = final.width * 4
  /** Offset in bytes of a grid's first window in a plane over `from`. */
  const firstIn = (from: Rect, grid: WindowGrid) =>
    ((grid.area.y - from.y) * from.width + grid.area.x - from.x) * 4

  if (planes.noise) {
    for (const offset of [steadyRed, steadyBlue, weightSum]) view(offset, count).fill(0)
    view(weights, NOISE_WINDOW).set(sineWindow(NOISE_WINDOW))
    view(noise, planes.noise.length).set(planes.noise)
    steadyGrid(
      ...([steady.columns, steady.rows, NOISE_STEP * 4, NOISE_STEP * row] as const),
      ...([y, rg, bg, firstIn(area, steady), row, steadyRed, steadyBlue, weightSum] as const),
      ...([weights, noise, filter.noiseOver, NOISE_FALL] as const),
      ...LUMINANCE,
      ...([...tint, work, NOISE_WINDOW] as const),
    )
    divideByWeights(steadyRed, weightSum, count)
    divideByWeights(steadyBlue, weightSum, count)
  } else {
    view(steadyRed, count).set(view(rg, count))
    view(steadyBlue, count).set(view(bg, count))
  }

  for (const offset of [cleaned, rest, weightSum]) view(offset, count).fill(0)
  scales.forEach(({ n, step }, s) => {
    view(weights, n).set(sineWindow(n))
    const grid = pilots[s]
    pilotGrid(
      ...([grid.columns, grid.rows, step * 4, step * row] as const),
      ...([y, steadyRed, steadyBlue, firstIn(area, grid), row, cleaned, rest, weightSum] as const),
      ...([weights, spectra[s], filter.pilotOver, filter.pilotBareOver] as const),
      ...([(filter.ridge * n * n) / 2, filter.trustFloor, paper, mixes[s], work, n] as const),
    )
  })
  divideByWeights(cleaned, weightSum, count)
  divideByWeights(rest, weightSum, count)

  const inFinal = ((final.y - area.y) * area.width + final.x - area.x) * 4
  jointBilateral(
    ...([steadyRed + inFinal, steadyBlue + inFinal, cleaned + inFinal, rest + inFinal, row] as const),
    ...([near, REACH, EVERY, 1 / (16 * LIKE_RATIO ** 2), 1 / (16 * LIKE_LIGHT ** 2)] as const),
    ...([common, finalRow, final.width, final.height] as const),
  )
  // The weights are done with: log luminance without the common part takes their plane.
  const apart = weightSum
  for (let j = 0; j < final.height; j++) {
    const at = inFinal + j * row
    setAside(
      ...([y + at, cleaned + at, rest + at, common + j * finalRow, filter.towardsCommon] as const),
      ...([apart + at, final.width] as const),
    )
  }
  // And the pilot's rest: the result takes its plane.
  const result = rest
  for (const offset of [result, resultWeight]) view(offset, finalCount).fill(0)
  scales.forEach(({ n, step }, s) => {
    view(weights, n).set(sineWindow(n))
    const grid = finals[s]
    const across = (grid.area.x - pilots[s].area.x) / step
    const down = (grid.area.y - pilots[s].area.y) / step
    finalGrid(
      ...([grid.columns, grid.rows, step * 4, step * row, step * finalRow, pilots[s].columns * 16] as const),
      ...([apart, steadyRed, steadyBlue, cleaned, firstIn(area, grid), row] as const),
      ...([result, resultWeight, firstIn(final, grid), finalRow, weights, spectra[s]] as const),
      ...([filter.finalOver, filter.finalBareOver, filter.trustFloor] as const),
      ...([mixes[s] + (down * pilots[s].columns + across) * 16, work, n] as const),
    )
  })
  divideByWeights(result, resultWeight, finalCount)
  addRow(common, result, finalCount)

  const out = emptyTile(rect)
  const registers = (rect.width + 3) & ~3
  // The pilot is done with: its plane holds the three channels' rows.
  const channels = [0, 1, 2].map((c) => cleaned + c * registers * 4)
  for (let j = 0; j < rect.height; j++) {
    const clean = result + ((rect.y - final.y + j) * final.width + rect.x - final.x) * 4
    const from = (rect.y - area.y + j) * area.width + rect.x - area.x
    const at = from * 4
    channels.forEach((channel, c) => {
      view(channel, rect.width).set(tile.planes[c].subarray(from, from + rect.width))
    })
    recolour(
      ...([channels[0], channels[1], channels[2], y + at, clean, rg + at, bg + at] as const),
      ...([steadyRed + at, steadyBlue + at, registers, ...LUMINANCE, ...tint] as const),
      ...([filter.amount, filter.keptInPaint, paper] as const),
    )
    channels.forEach((channel, c) => {
      out.planes[c].set(view(channel, rect.width), j * rect.width)
    })
  }
  return out
}

/** Weights of the neighbours by their distance alone, row by row, every other row shifted (see the kernel). */
function nearness(): Float32Array {
  const weights: number[] = []
  for (let y = -REACH; y <= REACH; y += EVERY) {
    const shift = ((y + REACH) / EVERY) % 2 === 0 ? 0 : EVERY
    for (let x = shift - REACH; x <= REACH; x += 2 * EVERY) {
      weights.push(Math.exp(-(x * x + y * y) / (2 * NEAR_PX ** 2)))
    }
  }
  return Float32Array.from(weights)
}

const grown = ({ x, y, width, height }: Rect, by: number): Rect => ({
  x: x - by,
  y: y - by,
  width: width + 2 * by,
  height: height + 2 * by,
})

/** The smallest rectangle around several grids' areas. */
function around(grids: readonly WindowGrid[]): Rect {
  const x = Math.min(...grids.map(({ area }) => area.x))
  const y = Math.min(...grids.map(({ area }) => area.y))
  const right = Math.max(...grids.map(({ area }) => area.x + area.width))
  const bottom = Math.max(...grids.map(({ area }) => area.y + area.height))
  return { x, y, width: right - x, height: bottom - y }
}
