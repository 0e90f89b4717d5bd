import { toPicture8 } from '../../colour/toPicture8.js'
import type { Picture8 } from '../../findings.js'
import { emptyTile } from '../../raster/Tile.js'
import type { LightView } from './find/lightView.js'

/** A small picture packed for JSON: lightness whole, colour differences at half size, eight bits each, base64. */
export interface Snapshot {
  width: number
  height: number
  lightness: string
  colour: string
}

/** Usual longest side: enough to judge where the sampled areas lie, small enough for a run record. */
const SIDE_PX = 320

/**
 * Packs a part of a view.
 * @param crop view pixels, inside the view
 * @param sidePx longest side
 * @returns the snapshot and how many snapshot pixels one view pixel became
 */
export function takeSnapshot(
  view: LightView,
  crop: { x: number; y: number; width: number; height: number },
  sidePx = SIDE_PX,
): { snapshot: Snapshot; scale: number } {
  const scale = Math.min(1, sidePx / Math.max(crop.width, crop.height))
  const width = Math.max(2, Math.round(crop.width * scale))
  const height = Math.max(2, Math.round(crop.height * scale))
  const tile = emptyTile({ x: 0, y: 0, width, height })
  tile.planes.forEach((plane, c) => {
    for (let y = 0; y < height; y++) {
      for (let x = 0; x < width; x++) {
        plane[y * width + x] = boxMean(view.linear[c], view.width, crop, x / scale, y / scale, 1 / scale)
      }
    }
  })
  const { rgb } = toPicture8(tile)
  const lightness = new Uint8Array(width * height)
  const [halfWidth, halfHeight] = [Math.ceil(width / 2), Math.ceil(height / 2)]
  const colour = new Uint8Array(2 * halfWidth * halfHeight)
  for (let p = 0; p < width * height; p++) {
    const [r, g, b] = rgb.subarray(3 * p, 3 * p + 3)
    const light = (r + 2 * g + b) / 4
    lightness[p] = Math.round(light)
    const q = Math.floor(Math.floor(p / width) / 2) * halfWidth + Math.floor((p % width) / 2)
    colour[2 * q] = Math.round(128 + (r - light) / 2)
    colour[2 * q + 1] = Math.round(128 + (b - light) / 2)
  }
  return { snapshot: { width, height, lightness: packed(lightness), colour: packed(colour) }, scale }
}

/** The picture of a snapshot. */
export function snapshotPicture({ width, height, lightness, colour }: Snapshot): Picture8 {
  const light = unpacked(lightness)
  const differences = unpacked(colour)
  const rgb = new Uint8Array(width * height * 3)
  for (let p = 0; p < width * height; p++) {
    const q = Math.floor(Math.floor(p / width) / 2) * Math.ceil(width / 2) + Math.floor((p % width) / 2)
    const r = light[p] + 2 * (differences[2 * q] - 128)
    const b = light[p] + 2 * (differences[2 * q + 1] - 128)
    const g = 2 * light[p] - (r + b) / 2
    rgb.set(
      [r, g, b].map((v) => Math.min(255, Math.max(0, Math.round(v)))),
      3 * p,
    )
  }
  return { width, height, rgb }
}

function boxMean(
  plane: Float32Array,
  stride: number,
  crop: { x: number; y: number; width: number; height: number },
  x: number,
  y: number,
  size: number,
): number {
  const [x0, y0] = [Math.floor(x), Math.floor(y)]
  const x1 = Math.min(crop.width, Math.max(x0 + 1, Math.floor(x + size)))
  const y1 = Math.min(crop.height, Math.max(y0 + 1, Math.floor(y + size)))
  let sum = 0
  for (let j = y0; j < y1; j++) {
    for (let i = x0; i < x1; i++) sum += plane[(crop.y + j) * stride + crop.x + i]
  }
  return sum / ((x1 - x0) * (y1 - y0))
}

const packed = (bytes: Uint8Array) => btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join(''))

const unpacked = (text: string) => Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0))
