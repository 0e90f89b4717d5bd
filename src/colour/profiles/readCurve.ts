import { type Profile, signature, unfitProfile } from './readProfile.js'

export type Curve = (encoded: number) => number

const held = (value: number) => (value > 0 ? Math.min(1, value) : 0)

/** How many parameters each function type of parametricCurveType takes. */
const PARAMETER_COUNTS = [1, 3, 4, 5, 7]

/**
 * Reads a tone curve: curveType (identity, gamma or table) or parametricCurveType.
 * @param tag its signature: `rTRC`
 * @returns from encoded 0..1 to linear 0..1
 * @throws RequestError where the tag is missing or damaged
 * Source: ICC.1:2022, 10.6 and 10.18.
 */
export function readCurve(profile: Profile, tag: string): Curve {
  const { view, bytes, label, tags } = profile
  const element = tags.get(tag)
  if (!element) throw unfitProfile(label, `the ICC profile lacks its tone curve "${tag}"`)
  const { offset, size } = element
  const damaged = (expected: string) =>
    unfitProfile(label, `the ICC profile's "${tag}" is damaged`, expected, `${size} bytes`)
  if (size < 12) throw damaged('at least 12 bytes')
  const type = signature(bytes, offset)
  if (type === 'curv') {
    const count = view.getUint32(offset + 8)
    if (12 + 2 * count > size) throw damaged(`${count} entries`)
    if (count === 0) return held
    if (count === 1) {
      const gamma = view.getUint16(offset + 12) / 256
      return (x) => held(x) ** gamma
    }
    return table(Float64Array.from({ length: count }, (_, i) => view.getUint16(offset + 12 + 2 * i) / 65535))
  }
  if (type === 'para') {
    const kind = view.getUint16(offset + 8)
    const count = PARAMETER_COUNTS[kind]
    if (!count) throw damaged('function type 0 to 4')
    if (12 + 4 * count > size) throw damaged(`${count} parameters`)
    return parametric(
      kind,
      Array.from({ length: count }, (_, i) => view.getInt32(offset + 12 + 4 * i) / 65536),
    )
  }
  throw unfitProfile(label, `the ICC profile's "${tag}" is no tone curve`, 'curv or para', `"${type}"`)
}

function table(entries: Float64Array): Curve {
  const last = entries.length - 1
  return (x) => {
    const at = held(x) * last
    const low = Math.min(Math.floor(at), last - 1)
    return entries[low] + (entries[low + 1] - entries[low]) * (at - low)
  }
}

/** The five function types of parametricCurveType; domain and range are 0..1 (ICC.1:2022, 10.18, table 68). */
function parametric(kind: number, [g, a = 1, b = 0, c = 0, d = 0, e = 0, f = 0]: number[]): Curve {
  const power = (x: number) => Math.max(0, a * x + b) ** g
  const curves: Curve[] = [
    (x) => x ** g,
    (x) => (x >= -b / a ? power(x) : 0),
    (x) => (x >= -b / a ? power(x) + c : c),
    (x) => (x >= d ? power(x) : c * x),
    (x) => (x >= d ? power(x) + e : c * x + f),
  ]
  return (x) => held(curves[kind](held(x)))
}
