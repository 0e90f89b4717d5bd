import { type CutTile, cutUp } from '../cutUp.js'
import type { CaptureRequest, Painting } from '../Painting.js'
import { paint } from '../paint.js'

export interface Scene {
  painting: Painting
  tiles: CutTile[]
}

const PPI = 300
export const TURNED_TILE = 3
/** A flatbed whose lamp passes at the top, brighter there than at the foot. */
export const LIGHT: Omit<CaptureRequest, 'turned' | 'seed'> = {
  lampFromDeg: 10,
  lampHeightDeg: 42,
  reliefDepth: 1.1,
  falloff: 0.16,
  device: 'scanner',
  noise: 0.0035,
  blurPx: 0.6,
}

/** The demo's painting and its four captures. */
export function paintedScene(size: { width: number; height: number }): Scene {
  const painting = paint({ seed: 7, ...size, ppi: PPI, sheet: 'tooth' })
  const tiles = cutUp(painting, {
    ...{ ...LIGHT, columns: 2, rows: 2, overlap: 0.2, rotationDeg: 0.35, jitterPx: 4 },
    ...{ turnedTiles: [TURNED_TILE], gainSpread: 0.015, seed: 1 },
  })
  return { painting, tiles }
}
