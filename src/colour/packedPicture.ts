import type { Picture8 } from '../findings.js'

/** A small picture packed for JSON: lightness whole, colour differences at half size, eight bits each, base64. */
export interface PackedPicture {
  width: number
  height: number
  lightness: string
  colour: string
}

/** Packs a picture for a reading: half the length of its plain bytes. */
export function packPicture({ width, height, rgb }: Picture8): PackedPicture {
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
  return { width, height, lightness: packed(lightness), colour: packed(colour) }
}

/** The picture again. */
export function unpackPicture({ width, height, lightness, colour }: PackedPicture): Picture8 {
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

const packed = (bytes: Uint8Array) => btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join(''))

const unpacked = (text: string) => Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0))
