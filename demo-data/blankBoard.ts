import type { Raster } from '../src/raster/Raster.js'
import { emptyTile } from '../src/raster/Tile.js'
import { exposed } from './device/exposed.js'
import { fallOff } from './lighting/fallOff.js'
import type { CaptureRequest } from './Painting.js'
import { blurred } from './painter/blurred.js'
import { seeded } from './painter/seeded.js'

/** The lamp and the device as for a capture. */
export type DeviceRequest = Pick<
  CaptureRequest,
  'lampFromDeg' | 'falloff' | 'device' | 'noise' | 'blurPx' | 'gain' | 'seed'
>

export interface BoardRequest extends DeviceRequest {
  width: number
  height: number
  /** Specks of dust on it. */
  dust?: number
}

/** Reflectance of the board at every wavelength. */
const BOARD = 0.92

/** An even white board captured under the same lamp by the same device, with a few specks of dust. */
export function blankBoard({ width, height, dust = 6, ...request }: BoardRequest): Raster {
  const board = emptyTile({ x: 0, y: 0, width, height })
  const plane = new Float32Array(width * height).fill(BOARD)
  const random = seeded(request.seed, 9)
  for (let i = 0; i < dust; i++) {
    const [u, v, radius] = [random.between(0, width), random.between(0, height), random.between(1, 3.5)]
    const reach = Math.ceil(radius)
    for (let y = Math.max(Math.floor(v) - reach, 0); y <= Math.min(v + reach, height - 1); y++) {
      for (let x = Math.max(Math.floor(u) - reach, 0); x <= Math.min(u + reach, width - 1); x++) {
        if (Math.hypot(x - u, y - v) < radius) plane[Math.floor(y) * width + Math.floor(x)] = 0.3
      }
    }
  }
  const soft = blurred(plane, width, height, request.blurPx)
  for (const target of board.planes) target.set(soft)
  fallOff(board.planes, width, height, request.lampFromDeg, request.falloff)
  return exposed(board, { ...request, gain: request.gain ?? 1 })
}
