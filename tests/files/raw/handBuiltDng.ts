import { handBuiltTiff } from '../handBuiltTiff.js'

export interface Mosaic {
  width: number
  height: number
  /** One number a photosite, row by row; red at the top left, blue one down and right (RGGB). */
  samples: readonly number[]
  black?: number
  white?: number
  /** The camera's numbers for a neutral surface, green 1 (AsShotNeutral). */
  neutral?: [red: number, blue: number]
  /** XYZ (under D50) to camera, row-major (ColorMatrix1). */
  xyzToCamera?: readonly number[]
  orientation?: number
  /** Exposure: seconds as a fraction, f-number in tenths, ISO. */
  exposure?: { time: [number, number]; fNumberTenths: number; iso: number }
}

const ascii = (text: string) => [...`${text}\0`].map((letter) => letter.charCodeAt(0))
const fractions = (values: readonly number[]) => values.flatMap((value) => [Math.round(value * 10000), 10000])

/**
 * A small undeveloped camera file: one uncompressed mosaic of 16 bits.
 * Source: DNG specification 1.4.0.0 (2012), tags of a CFA picture; TIFF/EP (ISO 12234-2:2001) for the mosaic.
 */
export function handBuiltDng({
  width,
  height,
  samples,
  black = 0,
  white = 65535,
  neutral = [1, 1],
  xyzToCamera = [1, 0, 0, 0, 1, 0, 0, 0, 1],
  orientation,
  exposure,
}: Mosaic): Uint8Array {
  return handBuiltTiff({
    ...{ width, height, samples, channels: 1, photometric: 32803, orientation },
    fields: [
      [254, 4, [0]],
      [271, 2, ascii('Stand')],
      [272, 2, ascii('Stand Forty')],
      [33421, 3, [2, 2]],
      [33422, 1, [0, 1, 1, 2]],
      [50706, 1, [1, 4, 0, 0]],
      [50707, 1, [1, 1, 0, 0]],
      [50708, 2, ascii('Stand Forty')],
      [50714, 4, [black]],
      [50717, 4, [white]],
      [50721, 10, fractions(xyzToCamera)],
      [50728, 5, fractions([neutral[0], 1, neutral[1]])],
      // The calibration illuminant, 23: D50.
      [50778, 3, [23]],
      ...((exposure
        ? [
            [33434, 5, exposure.time],
            [33437, 5, [exposure.fNumberTenths, 10]],
            [34855, 3, [exposure.iso]],
          ]
        : []) as [number, number, number[]][]),
    ],
  })
}
