import { encodeTile } from '../../src/colour/encodeTile.js'
import { space } from '../../src/colour/spaces/space.js'
import { emptyRaster, type Raster } from '../../src/raster/Raster.js'
import type { Tile } from '../../src/raster/Tile.js'
import { seeded } from '../painter/seeded.js'
import { type Exposure, HEADROOM } from './Exposure.js'

/** Mid grey, where noise is stated: 18 % reflectance. */
const MID_GREY = 0.18

/**
 * Light on the sensor as a file's numbers: noise, then 16 bits.
 *
 * `truth`: working-space light converted to sRGB and encoded with its curve; decoding as sRGB gives the light back. What
 * lies outside sRGB is cut off. `scanner`, `camera`: the device's own three channels, encoded with the sRGB curve and
 * nothing else: a file that claims sRGB wrongly.
 *
 * Noise: deviation at linear signal s is `noise x sqrt(0.3 + 0.7 s / 0.18)` (read-out plus photon noise).
 * @param light planes of linear light, 1 = perfect diffuser; changed in place
 */
export function exposed(light: Tile, { device, noise, gain, seed }: Exposure): Raster {
  const random = seeded(seed, 5)
  const scale = gain * HEADROOM[device]
  for (const plane of light.planes) {
    for (let i = 0; i < plane.length; i++) {
      const signal = plane[i] * scale
      plane[i] =
        noise > 0
          ? signal + noise * Math.sqrt(0.3 + (0.7 * Math.max(signal, 0)) / MID_GREY) * random.normal()
          : signal
    }
  }
  const { width, height } = light.rect
  const raster = emptyRaster(width, height)
  if (device === 'truth') {
    encodeTile({ ...light, rect: { x: 0, y: 0, width, height } }, 'sRGB', raster)
    return raster
  }
  const codes = encodingCodes()
  for (const [c, plane] of light.planes.entries()) {
    for (let i = 0; i < plane.length; i++) {
      const place = Math.min(Math.max(plane[i], 0), 1) * FINE
      const node = Math.min(place | 0, FINE - 1)
      raster.data[3 * i + c] = codes[node] + (place - node) * (codes[node + 1] - codes[node]) + 0.5
    }
  }
  return raster
}

const FINE = 65536
let table: Float64Array | undefined
function encodingCodes(): Float64Array {
  const { encode } = space('sRGB')
  return (table ??= Float64Array.from({ length: FINE + 1 }, (_, i) => 65535 * encode(i / FINE)))
}
