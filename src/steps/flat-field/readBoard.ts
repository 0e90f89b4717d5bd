import { RequestError } from '../../errors.js'
import { reducedSource } from '../../raster/reducedSource.js'
import type { Source } from '../../raster/Source.js'
import { blockMedians } from './blockMedians.js'
import { luminance } from './luminance.js'
import type { Reading } from './Reading.js'
import { type Blocks, smoothSurface } from './smoothSurface.js'

/** Longest side of the board's reduced view, of its blocks and of the gain grid. */
const VIEW_SIDE_PX = 640
const BLOCKS = 96
const GRID_NODES = 21

/** A board dimmer than this at its brightest has too much noise to divide by; share of full scale. */
const DIM = 0.02
const DARK = 0.1

/** Numbers this close to the end of the scale are clipped. */
const FULL_SCALE = 0.998

/** Blocks further than this from the smooth field are marks; more of them than this, and it is no blank board. */
const MARK_PERCENT = 2
const MARKS_WARN_PERCENT = 2
const MARKS_MOST_PERCENT = 15

/** A lamp field that varies by more than this factor is not one that dividing can save. */
const STEEP = 8

/**
 * Measures the lamp field on the capture of a blank board.
 * @param label the board's name, for messages
 * @param blackLevel share of full scale
 * @throws RequestError where the board is too dark, clipped, or not blank
 */
export async function readBoard(
  source: Source,
  label: string,
  blackLevel: number,
  onStrip: (share: number) => void,
): Promise<Reading> {
  const factor = Math.max(1, Math.ceil(Math.max(source.width, source.height) / VIEW_SIDE_PX))
  const { rect, planes } = await reducedSource(source, factor, onStrip)
  const size = Math.max(1, Math.ceil(Math.max(rect.width, rect.height) / BLOCKS))
  const blocks = planes.map((plane) => {
    const medians = blockMedians(plane, rect.width, rect.height, size)
    return {
      ...medians,
      values: medians.values.map((v) => v - blackLevel),
      extentX: source.width / (factor * size),
      extentY: source.height / (factor * size),
    }
  })
  const clippedPercent =
    (100 * planes[1].filter((_, p) => planes.every((plane) => plane[p] >= FULL_SCALE)).length) /
    planes[1].length
  if (clippedPercent > 20) {
    throw new RequestError({
      where: label,
      what: 'the board is clipped: its light is beyond the end of the scale and cannot be measured',
      found: `${clippedPercent.toFixed(0)} % of it at full scale`,
      todo: 'Capture the board again with less exposure',
    })
  }
  const landscape = rect.width >= rect.height
  const short = Math.max(
    8,
    Math.round((GRID_NODES * Math.min(rect.width, rect.height)) / Math.max(rect.width, rect.height)),
  )
  const [columns, rows] = landscape ? [GRID_NODES, short] : [short, GRID_NODES]
  const fields = blocks.map((channel) => smoothSurface(channel, columns, rows))
  const light = fields[0].map((_, k) => luminance(fields[0][k], fields[1][k], fields[2][k]))
  const brightest = light.indexOf(light.reduce((a, b) => Math.max(a, b)))
  checkLight(label, fields, light, brightest)
  const gains = fields.map((field) =>
    Array.from(field, (value) => round(field[brightest] / value)),
  ) as Reading['gains']
  const { marksPercent, remainingPercent } = judge(blocks, fields, columns, rows)
  if (marksPercent > MARKS_MOST_PERCENT) {
    throw new RequestError({
      where: label,
      what: 'the board is not blank: there is a picture or a structure on it',
      expected: 'an even white or grey board, out of focus if need be',
      found: `${marksPercent.toFixed(0)} % of it stands out from the smooth light by more than ${MARK_PERCENT} %`,
      todo: 'Capture a blank board in place of the sheet',
    })
  }
  const loss = (k: number) => 100 * (1 - light[k] / light[brightest])
  const uneven = (values: Float64Array) => 100 * unevenness(values)
  return {
    format: 1,
    board: label,
    widthPx: source.width,
    heightPx: source.height,
    blackLevel,
    columns,
    rows,
    gains,
    unevenPercent: {
      red: uneven(fields[0]),
      green: uneven(fields[1]),
      blue: uneven(fields[2]),
      luminance: uneven(light),
    },
    cornerLossPercent: [loss(0), loss(columns - 1), loss(columns * rows - 1), loss(columns * (rows - 1))],
    remainingPercent,
    marksPercent,
    warnings: [
      ...(light[brightest] < DARK
        ? [
            `${label}: the board is dark (${(100 * light[brightest]).toFixed(0)} % of full scale at its brightest); its noise goes into every capture. Capture it with more exposure`,
          ]
        : []),
      ...(clippedPercent > 0.1
        ? [
            `${label}: ${clippedPercent.toFixed(1)} % of the board is clipped; the lamp is underrated there. Capture it with less exposure`,
          ]
        : []),
      ...(marksPercent > MARKS_WARN_PERCENT
        ? [
            `${label}: ${marksPercent.toFixed(1)} % of the board stands out from the smooth light (dust, marks, an edge); it was left out of the measurement. Clean the board, or move it and capture again`,
          ]
        : []),
    ],
  }
}

function checkLight(label: string, fields: Float64Array[], light: Float64Array, brightest: number): void {
  const darkest = light.reduce((a, b) => Math.min(a, b))
  const dimmest = Math.min(...fields.map((field) => field.reduce((a, b) => Math.min(a, b))))
  if (light[brightest] < DIM || !(dimmest > 0)) {
    throw new RequestError({
      where: label,
      what: 'the board is too dark to measure the lamp on',
      expected: `at least ${100 * DIM} % of full scale at its brightest, and light everywhere`,
      found: `${(100 * light[brightest]).toFixed(1)} % at its brightest, ${(100 * darkest).toFixed(1)} % at its darkest`,
      todo: 'Capture the board with more exposure; check black-level',
    })
  }
  if (light[brightest] / darkest > STEEP) {
    throw new RequestError({
      where: label,
      what: 'the board is too unevenly lit to be a lamp field',
      expected: `at most ${STEEP} times as much light at its brightest as at its darkest`,
      found: (light[brightest] / darkest).toFixed(1),
      todo: 'Check that the file is the blank board and fills the frame',
    })
  }
}

/** How the board itself looks once corrected: blocks that stand out, and the range of the rest (2nd to 98th percentile). */
function judge(
  blocks: Blocks[],
  fields: Float64Array[],
  columns: number,
  rows: number,
): { marksPercent: number; remainingPercent: number } {
  const { width, height, extentX, extentY } = blocks[0]
  const ratios = new Float64Array(width * height)
  for (let y = 0; y < height; y++) {
    const v = Math.min(1, (y + 0.5) / extentY) * (rows - 1)
    for (let x = 0; x < width; x++) {
      const u = Math.min(1, (x + 0.5) / extentX) * (columns - 1)
      const value = luminance(
        ...(blocks.map(({ values }) => values[y * width + x]) as [number, number, number]),
      )
      const field = luminance(
        ...(fields.map((f) => bilinear(f, columns, rows, u, v)) as [number, number, number]),
      )
      ratios[y * width + x] = value / field
    }
  }
  const marks = ratios.filter((ratio) => Math.abs(ratio - 1) > MARK_PERCENT / 100).length
  const sorted = ratios.sort()
  const range = sorted[Math.floor(0.98 * (sorted.length - 1))] - sorted[Math.ceil(0.02 * (sorted.length - 1))]
  return { marksPercent: (100 * marks) / ratios.length, remainingPercent: 100 * range }
}

function bilinear(grid: Float64Array, columns: number, rows: number, u: number, v: number): number {
  const i = Math.min(columns - 2, Math.floor(u))
  const j = Math.min(rows - 2, Math.floor(v))
  const [s, t] = [u - i, v - j]
  const at = j * columns + i
  const top = grid[at] + (grid[at + 1] - grid[at]) * s
  const bottom = grid[at + columns] + (grid[at + columns + 1] - grid[at + columns]) * s
  return top + (bottom - top) * t
}

/** (largest - smallest) / mean. */
function unevenness(values: Float64Array): number {
  const most = values.reduce((a, b) => Math.max(a, b))
  const least = values.reduce((a, b) => Math.min(a, b))
  return (most - least) / (values.reduce((a, b) => a + b, 0) / values.length)
}

/** Seven digits are a hundred times finer than sixteen bits, and keep the run record small. */
const round = (value: number) => Number(value.toPrecision(7))
