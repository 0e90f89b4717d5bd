import type { Tile } from '../src/raster/Tile.js'
import { exposed } from './device/exposed.js'
import { captureTransform } from './geometry/captureTransform.js'
import { reachOf } from './geometry/reachOf.js'
import { resampled } from './geometry/resampled.js'
import { fallOff } from './lighting/fallOff.js'
import { litPart } from './lighting/litPart.js'
import type { CaptureRequest, PaintedCapture, Painting } from './Painting.js'

/**
 * Captures a painting, or a part of it, as a scanner or a camera would: the lamp on the sheet's relief, falloff, the
 * device's colours, blur, resampling to the sensor, noise, 16 bits. The same request gives the same bytes.
 */
export function capture(painting: Painting, request: CaptureRequest): PaintedCapture {
  const { device, noise, gain = 1, seed, turned, lampFromDeg, blurPx, surround } = request
  const whole = { x: 0, y: 0, width: painting.width, height: painting.height }
  const { width, height, toPainting } = captureTransform(request.crop ?? whole, turned)
  const [a, b, c, d, e, f] = toPainting
  const corners = [0, width - 1].flatMap((x) =>
    [0, height - 1].map((y): [number, number] => [a * x + b * y + c, d * x + e * y + f]),
  )
  const margin = Math.ceil(3 * blurPx) + 5
  const rect = reachOf(corners, margin, surround === undefined ? painting : undefined)
  // The lamp stands still; seen from the turned sheet it has gone round the other way.
  const lit = litPart(painting, request, lampFromDeg - turned, rect)
  const planes = resampled(lit, rect, toPainting, width, height) as Tile['planes']
  fallOff(planes, width, height, lampFromDeg, request.falloff)
  const raster = exposed({ rect: { x: 0, y: 0, width, height }, planes }, { device, noise, gain, seed })
  return { raster, toPainting }
}
