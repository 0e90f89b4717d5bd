import type { Raster } from '../src/raster/Raster.js'
import type { Tile } from '../src/raster/Tile.js'
import { exposed } from './device/exposed.js'
import type { CameraLens, CameraPose } from './geometry/CameraPose.js'
import { cameraMapping } from './geometry/cameraMapping.js'
import { reachOf } from './geometry/reachOf.js'
import { resampled } from './geometry/resampled.js'
import { litPart } from './lighting/litPart.js'
import type { CaptureRequest, Painting } from './Painting.js'

export interface FrameRequest
  extends Omit<CaptureRequest, 'crop' | 'turned' | 'gain' | 'falloff' | 'device' | 'surround'> {
  width: number
  height: number
  pose: CameraPose
  lens: CameraLens
  /** Loss of light in the corners, 0..1; grows with the square of the distance from the axis. */
  vignetting: number
  /** Exposure and white balance: linear gain of each channel. */
  gains: readonly [number, number, number]
  /** Reflectance of the table that shows beyond the sheet. */
  surround: number
}

export interface PaintedFrame {
  raster: Raster
  /** From frame pixels, centres at whole numbers, to the painting's. */
  toPainting: (x: number, y: number) => [x: number, y: number]
}

/** A painting as one frame of a camera on a stand sees it; the lamp stands by the sheet. Same request, same bytes. */
export function captureFrame(painting: Painting, request: FrameRequest): PaintedFrame {
  const { width, height, lens, pose, blurPx, noise, seed, vignetting, gains } = request
  const toPainting = cameraMapping(pose, lens, width, height)
  const outline: [number, number][] = []
  for (let i = 0; i <= 16; i++) {
    const [x, y] = [(i / 16) * (width - 1), (i / 16) * (height - 1)]
    outline.push(toPainting(x, 0), toPainting(x, height - 1), toPainting(0, y), toPainting(width - 1, y))
  }
  const rect = reachOf(outline, Math.ceil(3 * blurPx) + 6)
  const lit = litPart(painting, { ...request, device: 'camera' }, request.lampFromDeg, rect)
  const planes = resampled(lit, rect, toPainting, width, height) as Tile['planes']
  const corner = (width * width + height * height) / 4
  for (let y = 0, at = 0; y < height; y++) {
    for (let x = 0; x < width; x++, at++) {
      const r2 = ((x - (width - 1) / 2) ** 2 + (y - (height - 1) / 2) ** 2) / corner
      for (let c = 0; c < 3; c++) planes[c][at] *= (1 - vignetting * r2) * gains[c]
    }
  }
  const light = { rect: { x: 0, y: 0, width, height }, planes }
  return { raster: exposed(light, { device: 'camera', noise, gain: 1, seed }), toPainting }
}
