import { xyzD50ToLab } from '../src/colour/lab.js'
import { apply3, type Vector3 } from '../src/colour/matrix3.js'
import { WORKING_TO_XYZ_D50 } from '../src/colour/working.js'
import type { Raster } from '../src/raster/Raster.js'
import { emptyTile } from '../src/raster/Tile.js'
import type { DeviceRequest } from './blankBoard.js'
import { exposed } from './device/exposed.js'
import { type Homography, planeMapping } from './geometry/planeMapping.js'
import { fallOff } from './lighting/fallOff.js'
import { blurred } from './painter/blurred.js'
import { CHART24_SPECTRA } from './spectra/chart24Spectra.js'
import { type BandsToRgb, deviceWeights } from './spectra/deviceWeights.js'

export interface ChartRequest extends DeviceRequest {
  width: number
  height: number
  /** The chart's longer side as a share of the picture's width. */
  share?: number
  /** Clockwise; 180 lays it the other way up. */
  rotationDeg?: number
  /** How much its far side is shorter, 0..0.3. */
  perspective?: number
  /** Its middle, as shares of the picture. */
  middle?: [number, number]
}

export interface ChartCapture {
  raster: Raster
  /** Middles of the patches in patch order, pixel centres at integers. */
  centres: [number, number][]
  /** Corners of the block of patches: of the dark skin, bluish green, black and white corner. */
  corners: [number, number][]
  /** Side of a patch in pixels where it is smallest. */
  patchPx: number
  /** What the patches are under D50, computed from the spectra they are rendered from. */
  labD50: Vector3[]
}

/** Pitch of the patches is 1, patches are squares of this side; the frame around them is this wide. */
const PATCH = 0.86
const FRAME = 0.3
const GAP_REFLECTANCE = 0.035
const TABLE_REFLECTANCE = 0.42
/** Samples a pixel each way. */
const SAMPLES = 2

/** A 24-patch chart captured under the same lamp by the same device, in any position. */
export function chartCapture(request: ChartRequest): ChartCapture {
  const { width, height, device } = request
  const mapping = lay(request)
  const weights = deviceWeights(device)
  const patches = CHART24_SPECTRA.map((spectrum) => seen(spectrum, weights))
  const light = emptyTile({ x: 0, y: 0, width, height })
  const share = 1 / (SAMPLES * SAMPLES)
  for (let y = 0, at = 0; y < height; y++) {
    for (let x = 0; x < width; x++, at++) {
      for (let s = 0; s < SAMPLES * SAMPLES; s++) {
        const dx = ((s % SAMPLES) + 0.5) / SAMPLES - 0.5
        const dy = (Math.floor(s / SAMPLES) + 0.5) / SAMPLES - 0.5
        const [u, v] = mapping.inverse(x + dx, y + dy)
        const patch = patchAt(u, v)
        for (let c = 0; c < 3; c++) {
          light.planes[c][at] += share * (typeof patch === 'number' ? patches[patch][c] : patch.grey)
        }
      }
    }
  }
  for (const plane of light.planes) plane.set(blurred(plane, width, height, request.blurPx))
  fallOff(light.planes, width, height, request.lampFromDeg, request.falloff)
  const raster = exposed(light, { ...request, gain: request.gain ?? 1 })
  const truth = deviceWeights('truth')
  return {
    raster,
    centres: CHART24_SPECTRA.map((_, i) => mapping.forward((i % 6) + 0.5, Math.floor(i / 6) + 0.5)),
    corners: [mapping.forward(0, 0), mapping.forward(6, 0), mapping.forward(6, 4), mapping.forward(0, 4)],
    patchPx: smallestPatch(mapping),
    labD50: CHART24_SPECTRA.map((spectrum) => xyzD50ToLab(apply3(WORKING_TO_XYZ_D50, seen(spectrum, truth)))),
  }
}

const seen = (spectrum: readonly number[], weights: BandsToRgb) =>
  weights.map((w) => w.reduce((sum, weight, band) => sum + weight * spectrum[band], 0)) as Vector3

/** A patch's index, or the grey of what lies between and around them. */
function patchAt(u: number, v: number): number | { grey: number } {
  if (u < -FRAME || v < -FRAME || u > 6 + FRAME || v > 4 + FRAME) return TABLE
  const [column, row] = [Math.floor(u), Math.floor(v)]
  const off = Math.max(Math.abs(u - column - 0.5), Math.abs(v - row - 0.5))
  return column < 0 || row < 0 || column > 5 || row > 3 || off > PATCH / 2 ? GAP : column + 6 * row
}
const TABLE = { grey: TABLE_REFLECTANCE }
const GAP = { grey: GAP_REFLECTANCE }

/** Where the chart lies: patch columns and rows to the picture's pixels. */
function lay({
  width,
  height,
  share = 0.8,
  rotationDeg = 0,
  perspective = 0,
  middle = [0.5, 0.5],
}: ChartRequest): Homography {
  const pitch = (share * width) / (6 + 2 * FRAME)
  const r = (rotationDeg * Math.PI) / 180
  const [c, s] = [Math.cos(r), Math.sin(r)]
  const corners = [
    [0, 0],
    [6, 0],
    [6, 4],
    [0, 4],
  ].map(([u, v]): [number, number] => {
    const near = 1 - perspective * (0.5 - v / 4)
    const [x, y] = [(u - 3) * pitch * near, (v - 2) * pitch]
    return [middle[0] * width - 0.5 + c * x - s * y, middle[1] * height - 0.5 + s * x + c * y]
  })
  return planeMapping([6, 4], corners)
}

function smallestPatch({ forward }: Homography): number {
  const sides = [0, 5].flatMap((u) =>
    [0, 3].map((v) => {
      const [ax, ay] = forward(u, v)
      const [bx, by] = forward(u + 1, v)
      return Math.hypot(bx - ax, by - ay)
    }),
  )
  return PATCH * Math.min(...sides)
}
