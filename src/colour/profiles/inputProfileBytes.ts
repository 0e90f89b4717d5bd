import { apply3, multiply3 } from '../matrix3.js'
import { WORKING_TO_XYZ_D50 } from '../working.js'
import { assembleProfile, D50_FIXED } from './assembleProfile.js'
import { type CurvesAndMatrix, type DeviceColour, deviceMatrix } from './deviceMatrix.js'
import { shaperOf } from './shaperOf.js'
import { lutAToB, multiLocalized, s15Fixed16, sampledCurve, sixteenBits, xyz } from './writeTypes.js'

/** An input profile and how it is made. */
export interface InputProfile {
  bytes: Uint8Array
  kind: 'matrix' | 'table'
}

/** Nodes a side of a table. */
const SIZE = 41

/** Entries of the table's own curve, with straight lines between. */
const SHAPER_ENTRIES = 1025

/** Entries of the curve from the nodes' roots back to light. */
const LIGHT_ENTRIES = 4096

/** The largest XYZ a profile's table can give, about 1.99997, stands for 1 behind the table's matrix (ICC.1:2022, 6.3.4.2). */
const XYZ_ENCODING = 32768 / 65535

/**
 * An ICC input profile (version 4.4) of a device as captured and corrected: curves and a matrix where that is what it
 * is, else a table. Its white is the perfect diffuser.
 * @param colourOf the device's codes as corrected light in the working space
 * @param description the profile's name
 * Source: ICC.1:2022, 8.3 (tags of input profiles), 10.12 (lutAToBType).
 */
export function inputProfileBytes(colourOf: DeviceColour, description: string): InputProfile {
  const matrix = deviceMatrix(colourOf)
  const tags = [
    ['desc', multiLocalized(description)],
    ['cprt', multiLocalized('No copyright, use freely (CC0)')],
    ['wtpt', xyz(D50_FIXED)],
    ...(matrix ? matrixTags(matrix) : [['A2B0', table(colourOf)] as const]),
  ] as const
  return { bytes: assembleProfile('scnr', tags), kind: matrix ? 'matrix' : 'table' }
}

function matrixTags({ curves, matrix }: CurvesAndMatrix): [string, Uint8Array][] {
  const toXyz = multiply3(WORKING_TO_XYZ_D50, matrix)
  const column = (c: number) => xyz([toXyz[c], toXyz[3 + c], toXyz[6 + c]].map(s15Fixed16))
  const [r, g, b] = curves.map((curve) => sampledCurve(curve))
  return [
    ['rXYZ', column(0)],
    ['gXYZ', column(1)],
    ['bXYZ', column(2)],
    ['rTRC', r],
    ['gTRC', g],
    ['bTRC', b],
  ]
}

/**
 * The nodes lie about evenly in lightness and hold cube roots of light, so that what lies between two of them is nearly
 * a straight line; channels of the working space that fall below zero, beyond what eyes see, are held as they are.
 */
function table(colourOf: DeviceColour): Uint8Array {
  const greys = colourOf(
    Uint16Array.from({ length: 3 * SHAPER_ENTRIES }, (_, i) =>
      Math.round((Math.floor(i / 3) * 65535) / (SHAPER_ENTRIES - 1)),
    ),
  )
  const shaper = shaperOf(greys[1], 3)
  const places = Float64Array.from({ length: SIZE }, (_, i) => shaper.invert(i / (SIZE - 1)))
  const codes = new Uint16Array(3 * SIZE ** 3)
  let at = 0
  for (const r of places) {
    for (const g of places) {
      for (const b of places) {
        codes[at++] = Math.round(65535 * r)
        codes[at++] = Math.round(65535 * g)
        codes[at++] = Math.round(65535 * b)
      }
    }
  }
  const planes = colourOf(codes)
  const [low, high] = planes.reduce(
    ([least, most], plane) => plane.reduce(([l, m], v) => [Math.min(l, v), Math.max(m, v)], [least, most]),
    [0, 0],
  )
  const [lowRoot, highRoot] = [rootOf(low), rootOf(high)]
  const nodes = Uint16Array.from(codes, (_, i) =>
    sixteenBits((rootOf(planes[i % 3][Math.floor(i / 3)]) - lowRoot) / (highRoot - lowRoot)),
  )
  const lights = Float64Array.from({ length: LIGHT_ENTRIES }, (_, i) => {
    const root = lowRoot + ((highRoot - lowRoot) * i) / (LIGHT_ENTRIES - 1)
    return (lightOf(root) - low) / (high - low)
  })
  const encoded = WORKING_TO_XYZ_D50.map((entry) => entry * XYZ_ENCODING)
  return lutAToB({
    aCurve: sampledCurve(
      Float64Array.from({ length: SHAPER_ENTRIES }, (_, i) => shaper.apply(i / (SHAPER_ENTRIES - 1))),
    ),
    size: SIZE,
    nodes,
    mCurve: sampledCurve(lights),
    matrix: encoded.map((entry) => entry * (high - low)),
    offsets: apply3(encoded, [low, low, low]),
    bCurve: sampledCurve([0, 1]),
  })
}

/** Where the cube root turns into a straight line, and that line's slope: CIE 15:2018, CIELAB. */
const STRAIGHT_BELOW = 216 / 24389
const SLOPE = 24389 / 27 / 116

/** Light on CIELAB's cube-root scale less 16/116, odd about no light: smooth there, where a cube root stands upright. */
function rootOf(light: number): number {
  const size = Math.abs(light)
  return Math.sign(light) * (size > STRAIGHT_BELOW ? Math.cbrt(size) - 16 / 116 : SLOPE * size)
}

/** The light of a root. */
function lightOf(root: number): number {
  const size = Math.abs(root)
  const cube = (size + 16 / 116) ** 3
  return Math.sign(root) * (cube > STRAIGHT_BELOW ? cube : size / SLOPE)
}
