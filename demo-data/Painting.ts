import type { Raster } from '../src/raster/Raster.js'
import type { Tile } from '../src/raster/Tile.js'
import type { Crop } from './geometry/captureTransform.js'

export type SheetKind = 'tooth' | 'laid' | 'weave' | 'smooth'

/** A line or a stroke whose contrast can be measured: the same places along it and beside it. */
export interface Probe {
  kind: 'pencil' | 'stroke'
  /** Pairs of pixel positions (x, y) in the painting: on the mark, and on the ground beside it. */
  pairs: { on: [number, number]; beside: [number, number] }[]
}

/** A scene with known truth. All planes are `width * height`. */
export interface Painting {
  width: number
  height: number
  ppi: number
  seed: number
  sheet: SheetKind
  /** What a perfect capture without relief, falloff and noise would hold: linear working space, 1 = perfect diffuser. */
  truth: Tile
  /** The paper's surface in micrometres. */
  heightUm: Float32Array
  /** 1 where the sheet is unpainted. */
  blank: Uint8Array
  /** Share of pigment density that settled in the valleys, part of the truth (0 = even). */
  granulation: Float32Array
  /** Amount of each paint of `painter/pigments.ts`, after granulation: what another observer's view is computed from. */
  amounts: Float32Array[]
  probes: Probe[]
}

export interface CaptureRequest {
  /** Where the light comes from in degrees clockwise from the picture's top, before turning; and its height above the sheet. */
  lampFromDeg: number
  lampHeightDeg: number
  /** Scales the relief's slope; 0 takes it away, 1 is ordinary, 2 rough. */
  reliefDepth: number
  /** Loss of light at the darkest corner, 0..1. */
  falloff: number
  /** How the device sees: `truth` writes the truth as sRGB, exactly (what lies outside is cut off; the scene lies inside), `scanner` and `camera` have spectral responses of their own. */
  device: 'truth' | 'scanner' | 'camera'
  /** Standard deviation of noise at mid grey, as a share of full scale. */
  noise: number
  /** Gaussian blur of the optics in pixels. */
  blurPx: number
  /** The sheet lay turned by this, clockwise, under the same lamp. */
  turned: 0 | 90 | 180 | 270
  /** Part of the painting captured, in painting pixels; may be rotated a little and lie between pixels. */
  crop?: Crop
  /** Linear gain of the exposure. */
  gain?: number
  /** Reflectance of the grey that shows where the capture looks beyond the sheet; without it the sheet is mirrored there. */
  surround?: number
  seed: number
}

export interface PaintedCapture {
  raster: Raster
  /** Where capture pixel (0,0) centre-based coordinates land in the painting: `[a, b, c, d, e, f]`, x' = a x + b y + c, y' = d x + e y + f, for pixel centres at integers. */
  toPainting: [number, number, number, number, number, number]
}
