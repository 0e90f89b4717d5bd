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
