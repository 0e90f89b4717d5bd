import { apply3, invert3, type Vector3 } from '../matrix3.js'

/**
 * What a device's codes are as light in the working space.
 * @param codes interleaved, 16 bits
 * @returns three planes
 */
export type DeviceColour = (codes: Uint16Array) => readonly [Float32Array, Float32Array, Float32Array]

/** A curve for each channel and a matrix to the working space. */
export interface CurvesAndMatrix {
  /** At even steps of the code, 0..1. */
  curves: [Float64Array, Float64Array, Float64Array]
  /** Row-major 3x3. */
  matrix: number[]
}

/** Entries of a curve: straight lines between so many follow any camera's or scanner's curve closely. */
const ENTRIES = 4096

/** Light may differ by this much from what curves and a matrix give, and still count as made by them. */
const TOLERANCE = 2e-5

/**
 * Takes a device's behaviour apart into a curve for each channel and a matrix, where that is what it is.
 * @returns undefined where the channels act on each other in any other way
 */
export function deviceMatrix(colourOf: DeviceColour): CurvesAndMatrix | undefined {
  const black = colourOf(new Uint16Array(3)).map(([v]) => v) as Vector3
  const columns: Vector3[] = []
  const rises: Float64Array[] = []
  for (let c = 0; c < 3; c++) {
    const codes = new Uint16Array(3 * ENTRIES)
    for (let i = 0; i < ENTRIES; i++) codes[3 * i + c] = codeOf(i)
    const planes = colourOf(codes)
    const column = planes.map((plane, k) => plane[ENTRIES - 1] - black[k]) as Vector3
    const square = column.reduce((sum, v) => sum + v * v, 0)
    if (!(square > 0)) return undefined
    rises.push(
      Float64Array.from({ length: ENTRIES }, (_, i) =>
        column.reduce((sum, v, k) => sum + (v * (planes[k][i] - black[k])) / square, 0),
      ),
    )
    columns.push(column)
  }
  const [r, g, b] = columns
  const matrix = [r[0], g[0], b[0], r[1], g[1], b[1], r[2], g[2], b[2]]
  if (!isWhole(colourOf, matrix, rises, black)) return undefined
  // What black gives is part of the curves; what they would give below no light is none.
  const start = apply3(invert3(matrix), black)
  const curves = rises.map((rise, c) =>
    rise.map((v) => Math.max(0, (start[c] + v) / (1 + start[c]))),
  ) as CurvesAndMatrix['curves']
  return { curves, matrix: matrix.map((entry, i) => entry * (1 + start[i % 3])) }
}

const codeOf = (i: number) => Math.round((i * 65535) / (ENTRIES - 1))

/** Whether colours spread over the cube are the sum of what their channels give. */
function isWhole(
  colourOf: DeviceColour,
  matrix: readonly number[],
  rises: readonly Float64Array[],
  black: Readonly<Vector3>,
): boolean {
  const count = 512
  const entries = Array.from({ length: 3 * count }, (_, i) => (i * 2654435761 + 12345) % ENTRIES)
  const planes = colourOf(Uint16Array.from(entries, codeOf))
  for (let i = 0; i < count; i++) {
    const sum = apply3(matrix, [0, 1, 2].map((c) => rises[c][entries[3 * i + c]]) as Vector3)
    if (
      planes.some((plane, k) => Math.abs(plane[i] - black[k] - sum[k]) > TOLERANCE * (1 + Math.abs(sum[k])))
    ) {
      return false
    }
  }
  return true
}
