import { holding, kernels } from '../kernels/kernels.js'
import { mirrored } from '../padded.js'
import type { Rect } from '../Rect.js'
import { type AxisWeights, axisWeights } from './axisWeights.js'
import type { Rows } from './Rows.js'

/** A region of a resampled picture. */
export interface Resampling {
  /** What of the picture becomes the whole result, in its pixels, may be fractional and leave it. */
  crop: Rect
  width: number
  height: number
  /** The region of the result that is wanted. */
  rect: Rect
}

/** Bytes of rows that are read at once: few enough to stay in the processor's cache. */
const BAND_BYTES = 196_608
const MOST_ROWS = 32

/**
 * Resamples one picture to several results, reading every row once. Columns are filtered first, so that most of the
 * work runs along whole rows; every result's pixel is summed over its taps in one order, whatever the regions.
 * Where a crop leaves the picture, the picture is taken as mirrored at its border.
 * @param take is handed each finished row: of which result, which of the region's rows, where its three planes lie in the
 * kernels' memory (until it returns) and how far apart; it may run past its end by three
 */
export function resampleRows(
  rows: Rows,
  asked: readonly Resampling[],
  take: (index: number, row: number, at: number, planeBytes: number) => void,
): void {
  const parts = asked.map(partOf)
  const across = reachAcross(parts, rows.width)
  const top = Math.min(...parts.map(({ down }) => down.starts[0]))
  const foot = Math.max(...parts.map(({ down }) => down.starts.at(-1)! + down.needed))
  const planeBytes = (((across.span + 3) & ~3) + 4) * 4
  const rowBytes = 3 * planeBytes
  const bandRows = Math.min(MOST_ROWS, Math.max(1, Math.floor(BAND_BYTES / rowBytes)), foot - top)
  for (const part of parts) part.room = openRows(part, bandRows)
  const lengths = parts.flatMap(({ stride, room, span, across, down }) => [
    ...[stride * 4, stride * across.taps * 4, down.weights.byteLength],
    ...[room * 3 * ((span + 3) & ~3) * 4, 3 * stride * 4],
  ])
  holding([bandRows * rowBytes, ...lengths, ...rows.blocks], (band, ...blocks) => {
    parts.forEach((part, i) => {
      place(part, blocks.slice(i * BLOCKS, (i + 1) * BLOCKS))
    })
    rows.begin(blocks.slice(parts.length * BLOCKS))
    for (let y = top; y < foot; y += bandRows) {
      const count = Math.min(bandRows, foot - y)
      readBand(rows, y, count, across, band, planeBytes, rowBytes)
      parts.forEach((part, i) => {
        addBand(part, { y, count, at: band + (part.left - across.left) * 4, planeBytes, rowBytes }, (row) =>
          take(i, row, part.outAt, part.stride * 4),
        )
      })
    }
  })
}

/** Blocks of kernel memory that each part holds. */
const BLOCKS = 5

/** One region and where its things lie. */
interface Part {
  across: AxisWeights
  down: AxisWeights
  /** Columns of the picture that it sums. */
  left: number
  span: number
  /** Columns of the result, filled up to a multiple of 4. */
  stride: number
  /** Rows of the result that are being summed at once, at most. */
  room: number
  /** The first row that is not finished. */
  next: number
  startsAt: number
  acrossAt: number
  downAt: number
  sumsAt: number
  outAt: number
}

function partOf({ crop, width, height, rect }: Resampling): Part {
  const across = axisWeights(crop.x, crop.width / width, rect.x, rect.width)
  const down = axisWeights(crop.y, crop.height / height, rect.y, rect.height)
  const left = across.starts[0]
  const span = across.starts[rect.width - 1] + across.taps - left
  const nowhere = { startsAt: 0, acrossAt: 0, downAt: 0, sumsAt: 0, outAt: 0 }
  return { across, down, left, span, stride: (rect.width + 3) & ~3, room: 0, next: 0, ...nowhere }
}

/** How many rows of the result a band of rows can reach, at most. */
function openRows({ down: { starts, needed } }: Part, bandRows: number): number {
  let most = 1
  for (let first = 0, last = 0; last < starts.length; last++) {
    while (starts[first] + needed + bandRows <= starts[last]) first++
    most = Math.max(most, last - first + 1)
  }
  return most
}

function place(part: Part, [startsAt, acrossAt, downAt, sumsAt, outAt]: readonly number[]): void {
  const { across, down, stride } = part
  Object.assign(part, { startsAt, acrossAt, downAt, sumsAt, outAt })
  const { buffer } = kernels().memory
  const starts = new Int32Array(buffer, startsAt, stride).fill(0)
  for (let i = 0; i < across.starts.length; i++) starts[i] = (across.starts[i] - part.left) * 4
  new Float32Array(buffer, acrossAt, stride * across.taps).fill(0).set(across.weights)
  new Float32Array(buffer, downAt, down.weights.length).set(down.weights)
}

interface Across {
  /** First column of every row, and how many: all that is summed, and all that stands in for what lies outside. */
  left: number
  span: number
  /** The part of it inside the picture. */
  inner: { x: number; columns: number }
  /** For every column outside: where it lies in a row, and which one stands in for it. */
  outside: [to: number, from: number][]
}

function reachAcross(parts: readonly Part[], width: number): Across {
  let left = Math.min(...parts.map((part) => part.left))
  let right = Math.max(...parts.map((part) => part.left + part.span))
  const beyond: number[] = []
  for (let x = left; x < Math.min(0, right); x++) beyond.push(x)
  for (let x = Math.max(width, left); x < right; x++) beyond.push(x)
  for (const x of beyond) {
    left = Math.min(left, mirrored(x, width))
    right = Math.max(right, mirrored(x, width) + 1)
  }
  const x = Math.max(0, left)
  return {
    ...{ left, span: right - left, inner: { x, columns: Math.min(width, right) - x } },
    outside: beyond.map((at) => [at - left, mirrored(at, width) - left]),
  }
}

function readBand(
  rows: Rows,
  y: number,
  count: number,
  { left, inner, outside }: Across,
  band: number,
  planeBytes: number,
  rowBytes: number,
): void {
  const to = band + (inner.x - left) * 4
  for (let r = 0; r < count; ) {
    const from = mirrored(y + r, rows.height)
    const run = y + r === from ? Math.min(count - r, rows.height - from) : 1
    rows.read(from, run, inner.x, inner.columns, to + r * rowBytes, planeBytes, rowBytes)
    r += run
  }
  if (outside.length === 0) return
  const floats = new Float32Array(kernels().memory.buffer, band, (count * rowBytes) / 4)
  for (let plane = 0; plane < floats.length; plane += planeBytes / 4) {
    for (const [at, stands] of outside) floats[plane + at] = floats[plane + stands]
  }
}

/** Adds a band of rows to every row of the result that reaches into it, and finishes those that end in it. */
function addBand(
  part: Part,
  { y, count, at, planeBytes, rowBytes }: Record<'y' | 'count' | 'at' | 'planeBytes' | 'rowBytes', number>,
  finished: (row: number) => void,
): void {
  const { weighRows, filterRows } = kernels()
  const { across, down, span, stride, room } = part
  const { starts, needed, taps } = down
  const width = (span + 3) & ~3
  for (let j = part.next; j < starts.length && starts[j] < y + count; j++) {
    const first = Math.max(0, y - starts[j])
    const last = Math.min(needed, y + count - starts[j])
    const from = at + (starts[j] + first - y) * rowBytes
    const weights = part.downAt + (j * taps + first) * 4
    const sums = part.sumsAt + (j % room) * 3 * width * 4
    for (let c = 0; c < 3; c++) {
      const to = sums + c * width * 4
      weighRows(from + c * planeBytes, rowBytes, weights, last - first, to, width, Number(first === 0))
    }
    if (last < needed) continue
    filterRows(sums, width * 4, 3, part.startsAt, part.acrossAt, across.taps, part.outAt, stride)
    part.next = j + 1
    finished(j)
  }
}
