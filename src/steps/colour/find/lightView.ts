import type { Tile } from '../../../raster/Tile.js'

/** A reduced picture of a capture for looking at shapes: linear planes and the same as seen. */
export interface LightView {
  width: number
  height: number
  /** Picture pixels in one view pixel. */
  factor: number
  linear: Tile['planes']
  /** Each linear channel on the CIE 1976 lightness scale, about 0..100, so that one threshold serves light and dark. */
  seen: Tile['planes']
}

/** Lightness of a relative luminance (CIE 15:2018, L*), negative light taken as none. */
export function lightness(linear: number): number {
  const t = Math.max(0, linear)
  return t > 216 / 24389 ? 116 * Math.cbrt(t) - 16 : t * (24389 / 27)
}

/** The view of a reduced tile. */
export function lightView({ rect: { width, height }, planes }: Tile, factor: number): LightView {
  return {
    width,
    height,
    factor,
    linear: planes,
    seen: planes.map((plane) => plane.map(lightness)) as Tile['planes'],
  }
}
