import { sineWindow } from '../../raster/fft/sineWindow.js'
import { kernels, scratch } from '../../raster/kernels/kernels.js'
import { padded } from '../../raster/padded.js'
import type { Rect } from '../../raster/Rect.js'
import type { Source } from '../../raster/Source.js'
import { emptyTile, type Tile } from '../../raster/Tile.js'
import { NOISE_FALL, NOISE_WINDOW } from './colourNoise.js'
import { continueRelief } from './continueRelief.js'
import type { FilterPlanes } from './filterPlanes.js'
import { EVERY, LIKE_LIGHT, LIKE_RATIO, nearness, REACH } from './likeNeighbours.js'
import { LOG_OFFSET, LUMINANCE } from './logLuminance.js'
import type { ReliefFilter } from './ReliefFilter.js'
import { type WindowGrid, windowsOfRect } from './windowGrid.js'

/** Distance of the windows that free the ratios of noise. */
const NOISE_STEP = 8
const NEAR = nearness()

/**
 * One rectangle without its relief, see `withoutRelief`: the ratios are freed of noise, the pilot is made, its common part
 * is set aside, the final stage is made, and the pixels take the result. Every stage reaches further than the next, and all
 * of them work in the kernels' memory.
 * @param source linear light in the working space, any size
 * @param rect inside the picture, in pixels; memory grows with it
 * @param planes of the filter, made once a picture
 * @returns linear light over `rect`
 */
export function filterTile(source: Source, rect: Rect, filter: ReliefFilter, planes: FilterPlanes): Tile {
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
    ...Array.from({ length: 6 }, () => count * 4),
    ...[finalCount * 4, widest * 4, 12 * widest * (widest + 12) * 4, NEAR.byteLength, 16],
    ...(planes.noise ? [planes.noise.byteLength] : [16]),
    ...planes.scales.map((spectra) => spectra.byteLength),
    ...pilots.map(({ rows, columns }) => rows * columns * 16),
  )
  const [y, rg, bg, steadyRed, steadyBlue, weightSum] = memoryFor
  const [common, weights, work, near, paper, noise] = memoryFor.slice(6)
  const spectra = memoryFor.slice(12, 12 + scales.length)
  const mixes = memoryFor.slice(12 + scales.length)
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

  // The ratios as captured are done with until the end, and are then made anew from the channels: the pilot takes their
  // planes.
  const [cleaned, rest] = [rg, bg]
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
  // So are the pilot's rest and log luminance itself: the result and its weights take their planes.
  const [result, resultWeight] = [rest, y]
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
  // The pilot is done with: its plane holds the three channels' rows, and their luminance and ratios.
  const [red, green, blue, light, ownRed, ownBlue] = Array.from(
    { length: 6 },
    (_, i) => cleaned + i * registers * 4,
  )
  const channels = [red, green, blue]
  for (let j = 0; j < rect.height; j++) {
    const clean = result + ((rect.y - final.y + j) * final.width + rect.x - final.x) * 4
    const from = (rect.y - area.y + j) * area.width + rect.x - area.x
    const at = from * 4
    channels.forEach((channel, c) => {
      view(channel, rect.width).set(tile.planes[c].subarray(from, from + rect.width))
    })
    logPlanes(red, green, blue, light, ownRed, ownBlue, registers, ...LUMINANCE, LOG_OFFSET, ...tint)
    recolour(
      ...([red, green, blue, light, clean, ownRed, ownBlue] as const),
      ...([steadyRed + at, steadyBlue + at, registers, ...LUMINANCE, ...tint] as const),
      ...([filter.amount, filter.keptInPaint, paper] as const),
    )
    channels.forEach((channel, c) => {
      out.planes[c].set(view(channel, rect.width), j * rect.width)
    })
  }
  return out
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
