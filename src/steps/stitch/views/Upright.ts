import type { Lens } from '../../../raster/warp/Lens.js'
import type { Affine } from '../../../raster/warp/PlaneMap.js'
import type { CaptureInfo } from '../../contract.js'

/**
 * A capture turned back so that the sheet stands upright. Its own coordinates are *centred*: the origin at the middle of
 * the capture, a unit one pixel of the finest capture, so that captures of different resolution share them.
 */
export interface Upright {
  label: string
  turned: CaptureInfo['turned']
  /** Pixels of the upright picture. */
  width: number
  height: number
  /** Finest pixels a pixel of this capture. */
  scale: number
}

export function uprightOf(
  { label, width, height, turned, ppi }: CaptureInfo,
  finestPpi: number | undefined,
): Upright {
  const sideways = turned % 180 !== 0
  return {
    label,
    turned,
    width: sideways ? height : width,
    height: sideways ? width : height,
    scale: ppi && finestPpi ? finestPpi / ppi : 1,
  }
}

/** From upright pixels to the capture's pixels on disk: exact for whole pixels. */
export function toCapturePixels({ turned, width, height }: Upright): Affine {
  if (turned === 90) return [0, -1, height - 1, 1, 0, 0]
  if (turned === 180) return [-1, 0, width - 1, 0, -1, height - 1]
  if (turned === 270) return [0, 1, 0, -1, 0, width - 1]
  return [1, 0, 0, 0, 1, 0]
}

/** From centred coordinates to upright pixels. */
export function toUprightPixels({ width, height, scale }: Upright): Affine {
  return [1 / scale, 0, (width - 1) / 2, 0, 1 / scale, (height - 1) / 2]
}

/** Half the capture's extent in centred coordinates, to the outer edge of its pixels. */
export function halfExtent({ width, height, scale }: Upright): [x: number, y: number] {
  return [(width * scale) / 2, (height * scale) / 2]
}

/** A lens about the middle of the centred coordinates, in the capture's pixels on disk. */
export function lensOnDisk({ turned, width, height, scale }: Upright, lens: Lens): Lens {
  const [w, h] = turned % 180 === 0 ? [width, height] : [height, width]
  return { ...lens, x: (w - 1) / 2, y: (h - 1) / 2, unitPx: lens.unitPx / scale }
}
