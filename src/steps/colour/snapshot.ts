import { type PackedPicture, packPicture, unpackPicture } from '../../colour/packedPicture.js'
import { toPicture8 } from '../../colour/toPicture8.js'
import { emptyTile } from '../../raster/Tile.js'
import type { LightView } from './find/lightView.js'

export type Snapshot = PackedPicture

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
  return { snapshot: packPicture(toPicture8(tile)), scale }
}

/** The picture of a snapshot. */
export const snapshotPicture = unpackPicture

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
