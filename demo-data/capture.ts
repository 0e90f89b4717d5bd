import type { Rect } from '../src/raster/Rect.js'
import type { Tile } from '../src/raster/Tile.js'
import { exposed } from './device/exposed.js'
import { captureTransform } from './geometry/captureTransform.js'
import { resampled } from './geometry/resampled.js'
import { fallOff } from './lighting/fallOff.js'
import { lampDirection } from './lighting/lampDirection.js'
import { reliefShading } from './lighting/reliefShading.js'
import type { CaptureRequest, PaintedCapture, Painting } from './Painting.js'
import { blurred } from './painter/blurred.js'
import { mixedLight } from './painter/mixedLight.js'
import { deviceWeights } from './spectra/deviceWeights.js'
import type { Transform } from './Transform.js'

/**
 * Captures a painting, or a part of it, as a scanner or a camera would: the lamp on the sheet's relief, falloff, the
 * device's colours, blur, resampling to the sensor, noise, 16 bits. The same request gives the same bytes.
 */
export function capture(painting: Painting, request: CaptureRequest): PaintedCapture {
  const { device, noise, gain = 1, seed, turned, lampFromDeg, blurPx } = request
  const whole = { x: 0, y: 0, width: painting.width, height: painting.height }
  const { width, height, toPainting } = captureTransform(request.crop ?? whole, turned)
  const rect = reachOf(toPainting, width, height, Math.ceil(3 * blurPx) + 5, painting)
  // The lamp stands still; seen from the turned sheet it has gone round the other way.
  const lamp = lampDirection(lampFromDeg - turned, request.lampHeightDeg)
  const { diffuse, highlight } = reliefShading(
    ...([
      painting.heightUm,
      painting.width,
      painting.height,
      painting.ppi,
      request.reliefDepth,
      lamp,
      rect,
    ] as const),
  )
  const lit = reflected(painting, device, rect).map((plane) => {
    for (let i = 0; i < plane.length; i++) plane[i] = plane[i] * diffuse[i] + highlight[i]
    return blurred(plane, rect.width, rect.height, blurPx)
  })
  const planes = resampled(lit, rect, toPainting, width, height) as Tile['planes']
  fallOff(planes, width, height, lampFromDeg, request.falloff)
  const raster = exposed({ rect: { x: 0, y: 0, width, height }, planes }, { device, noise, gain, seed })
  return { raster, toPainting }
}

/** The painting's reflectance as the device sees it, copied for one rectangle. */
function reflected(painting: Painting, device: CaptureRequest['device'], rect: Rect): Float32Array[] {
  const cut = (plane: Float32Array) => {
    const part = new Float32Array(rect.width * rect.height)
    for (let y = 0; y < rect.height; y++) {
      const from = (rect.y + y) * painting.width + rect.x
      part.set(plane.subarray(from, from + rect.width), y * rect.width)
    }
    return part
  }
  if (device === 'truth') return painting.truth.planes.map(cut)
  return mixedLight(painting.amounts.map(cut), deviceWeights(device))
}

/** The painting's pixels that a capture can see, with a margin. */
function reachOf(
  [a, b, c, d, e, f]: Transform,
  width: number,
  height: number,
  margin: number,
  painting: Painting,
): Rect {
  const corners = [0, width - 1].flatMap((x) =>
    [0, height - 1].map((y) => [a * x + b * y + c, d * x + e * y + f]),
  )
  const xs = corners.map(([x]) => x)
  const ys = corners.map(([, y]) => y)
  const left = Math.max(Math.floor(Math.min(...xs)) - margin, 0)
  const top = Math.max(Math.floor(Math.min(...ys)) - margin, 0)
  const right = Math.min(Math.ceil(Math.max(...xs)) + margin + 1, painting.width)
  const bottom = Math.min(Math.ceil(Math.max(...ys)) + margin + 1, painting.height)
  return { x: left, y: top, width: right - left, height: bottom - top }
}
