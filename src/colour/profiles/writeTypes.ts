import type { ParametricCurve } from '../curves/ParametricCurve.js'

/** A number as s15Fixed16: times 65536, rounded (ICC.1:2022, 4.6). */
export const s15Fixed16 = (value: number) => Math.round(value * 65536)

/** Byte runs one behind the other. */
export function joined(parts: readonly Uint8Array[]): Uint8Array {
  const bytes = new Uint8Array(parts.reduce((sum, { length }) => sum + length, 0))
  let at = 0
  for (const part of parts) {
    bytes.set(part, at)
    at += part.length
  }
  return bytes
}

/** A type's four letters, four zero bytes and room for its content. */
function element(type: string, contentBytes: number): { bytes: Uint8Array; view: DataView } {
  const bytes = new Uint8Array(8 + contentBytes)
  for (let i = 0; i < 4; i++) bytes[i] = type.charCodeAt(i)
  return { bytes, view: new DataView(bytes.buffer) }
}

function fixedNumbers(type: string, fixed: readonly number[]): Uint8Array {
  const { bytes, view } = element(type, fixed.length * 4)
  for (const [i, value] of fixed.entries()) view.setInt32(8 + 4 * i, value)
  return bytes
}

/** XYZType with one entry (ICC.1:2022, 10.31), from s15Fixed16 integers. */
export const xyz = (fixed: readonly number[]) => fixedNumbers('XYZ ', fixed)

/** s15Fixed16ArrayType (ICC.1:2022, 10.22), from s15Fixed16 integers. */
export const s15Fixed16Array = (fixed: readonly number[]) => fixedNumbers('sf32', fixed)

/** parametricCurveType (ICC.1:2022, 10.18): function type 0 for a plain power, else 3. */
export function parametric({ g, a, b, c, d }: ParametricCurve): Uint8Array {
  const parameters = d === 0 ? [g] : [g, a, b, c, d]
  const { bytes, view } = element('para', 4 + parameters.length * 4)
  view.setUint16(8, d === 0 ? 0 : 3)
  for (const [i, value] of parameters.entries()) view.setInt32(12 + 4 * i, s15Fixed16(value))
  return bytes
}

/** multiLocalizedUnicodeType (ICC.1:2022, 10.15) with one record, English. */
export function multiLocalized(text: string): Uint8Array {
  const { bytes, view } = element('mluc', 20 + text.length * 2)
  view.setUint32(8, 1)
  view.setUint32(12, 12)
  view.setUint16(16, 0x656e) // en
  view.setUint16(18, 0x5553) // US
  view.setUint32(20, text.length * 2)
  view.setUint32(24, 28)
  for (let i = 0; i < text.length; i++) view.setUint16(28 + 2 * i, text.charCodeAt(i))
  return bytes
}

/** curveType with a table (ICC.1:2022, 10.6): values 0..1 at even steps, held there. */
export function sampledCurve(values: ArrayLike<number>): Uint8Array {
  const { bytes, view } = element('curv', 4 + 2 * values.length)
  view.setUint32(8, values.length)
  for (let i = 0; i < values.length; i++) view.setUint16(12 + 2 * i, sixteenBits(values[i]))
  return bytes
}

/** A number 0..1 as 16 bits, held there. */
export const sixteenBits = (value: number) => Math.round(65535 * Math.min(1, Math.max(0, value)))

/** lutAToBType's parts, in the order they are run through. */
export interface LutAToB {
  /** One curve for all three device channels. */
  aCurve: Uint8Array
  /** Nodes a side; `nodes` holds three 16-bit values a node, red slowest, blue fastest. */
  size: number
  nodes: Uint16Array
  mCurve: Uint8Array
  /** Row-major 3x3, then what is added. */
  matrix: readonly number[]
  offsets: readonly number[]
  bCurve: Uint8Array
}

/** lutAToBType with three channels on either side (ICC.1:2022, 10.12). */
export function lutAToB({ aCurve, size, nodes, mCurve, matrix, offsets, bCurve }: LutAToB): Uint8Array {
  const padded = (bytes: Uint8Array) => joined([bytes, new Uint8Array(-bytes.length & 3)])
  const three = (curve: Uint8Array) => joined([padded(curve), padded(curve), padded(curve)])
  const numbers = new Uint8Array(48)
  const numbersView = new DataView(numbers.buffer)
  for (const [i, entry] of [...matrix, ...offsets].entries()) numbersView.setInt32(4 * i, s15Fixed16(entry))
  const grid = new Uint8Array(20 + 2 * nodes.length)
  grid.fill(size, 0, 3)
  grid[16] = 2
  const gridView = new DataView(grid.buffer)
  for (const [i, node] of nodes.entries()) gridView.setUint16(20 + 2 * i, node)
  const parts = [three(bCurve), numbers, three(mCurve), padded(grid), three(aCurve)]
  const { bytes, view } = element('mAB ', 24)
  view.setUint8(8, 3)
  view.setUint8(9, 3)
  let at = bytes.length
  for (const [i, part] of parts.entries()) {
    view.setUint32(12 + 4 * i, at)
    at += part.length
  }
  return joined([bytes, ...parts])
}
