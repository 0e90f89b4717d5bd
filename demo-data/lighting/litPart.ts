import type { Rect } from '../../src/raster/Rect.js'
import type { CaptureRequest, Painting } from '../Painting.js'
import { blurred } from '../painter/blurred.js'
import { mixedLight } from '../painter/mixedLight.js'
import { deviceWeights } from '../spectra/deviceWeights.js'
import { lampDirection } from './lampDirection.js'
import { reliefShading } from './reliefShading.js'

/**
 * A part of a painting under the lamp as the optics see it: reflectance, relief, highlights, blur.
 * @param fromDeg where the lamp stands, seen from the sheet
 * @param rect of the painting; it may reach beyond where the request states a surround
 */
export function litPart(
  painting: Painting,
  request: Pick<CaptureRequest, 'device' | 'lampHeightDeg' | 'reliefDepth' | 'blurPx' | 'surround'>,
  fromDeg: number,
  rect: Rect,
): Float32Array[] {
  const inner = meet(rect, painting)
  const { diffuse, highlight } = reliefShading(
    painting.heightUm,
    painting.width,
    painting.height,
    painting.ppi,
    request.reliefDepth,
    lampDirection(fromDeg, request.lampHeightDeg),
    inner,
  )
  return reflected(painting, request.device, inner).map((plane) => {
    for (let i = 0; i < plane.length; i++) plane[i] = plane[i] * diffuse[i] + highlight[i]
    return blurred(
      surrounded(plane, inner, rect, request.surround ?? 0),
      rect.width,
      rect.height,
      request.blurPx,
    )
  })
}

function meet({ x, y, width, height }: Rect, within: { width: number; height: number }): Rect {
  const [left, top] = [Math.max(x, 0), Math.max(y, 0)]
  const [right, bottom] = [Math.min(x + width, within.width), Math.min(y + height, within.height)]
  return { x: left, y: top, width: right - left, height: bottom - top }
}

/** A part with the surround's grey about it. */
function surrounded(plane: Float32Array, inner: Rect, rect: Rect, grey: number): Float32Array {
  if (inner.width === rect.width && inner.height === rect.height) return plane
  const out = new Float32Array(rect.width * rect.height).fill(grey)
  for (let y = 0; y < inner.height; y++) {
    const to = (inner.y - rect.y + y) * rect.width + inner.x - rect.x
    out.set(plane.subarray(y * inner.width, (y + 1) * inner.width), to)
  }
  return out
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
