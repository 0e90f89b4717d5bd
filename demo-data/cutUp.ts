import { capture } from './capture.js'
import type { CaptureRequest, PaintedCapture, Painting } from './Painting.js'
import { seeded } from './painter/seeded.js'

export interface CutRequest extends Omit<CaptureRequest, 'crop' | 'turned' | 'gain'> {
  columns: number
  rows: number
  /** Share of a tile that its neighbour also holds, 0..1. */
  overlap: number
  /** Tiles lie turned by up to this, either way. */
  rotationDeg: number
  /** And are shifted by up to this, in fractions of pixels too. */
  jitterPx: number
  /** Which tiles (counted row by row) were captured with the sheet turned by 180 degrees. */
  turnedTiles?: readonly number[]
  /** By how much they lay turned: 180 degrees if nothing is said; by a quarter, tiles must be square. */
  turn?: 90 | 180 | 270
  /** Scales differ by up to this share between any two tiles. */
  scaleSpread?: number
  /** Painting pixels by which the tiles reach beyond the sheet together; negative: they stay that far inside. */
  beyondPx?: number
  /** Exposures differ by up to this share, either way. */
  gainSpread?: number
}

export interface CutTile extends PaintedCapture {
  turned: 0 | 90 | 180 | 270
  gain: number
}

/** A painting captured in overlapping tiles of one size, row by row; no tile looks beyond the sheet. */
export function cutUp(painting: Painting, request: CutRequest): CutTile[] {
  const {
    columns,
    rows,
    overlap,
    rotationDeg,
    jitterPx,
    turnedTiles = [],
    gainSpread = 0,
    seed,
    turn = 180,
    scaleSpread = 0,
    beyondPx = 0,
  } = request
  const random = seeded(seed, 21)
  const lean = Math.sin((Math.abs(rotationDeg) * Math.PI) / 180)
  const span = (length: number, count: number, other: number) => {
    const margin = Math.abs(jitterPx) + (lean * other) / 2 + 1 + (scaleSpread * length) / 4 - beyondPx
    const size = Math.floor((length - 2 * margin) / (count - (count - 1) * overlap))
    return {
      size,
      at: (i: number) => margin + (count > 1 ? (i * (length - 2 * margin - size)) / (count - 1) : 0),
    }
  }
  const across = span(painting.width, columns, painting.height / Math.max(rows - (rows - 1) * overlap, 1))
  const down = span(painting.height, rows, painting.width / Math.max(columns - (columns - 1) * overlap, 1))
  return Array.from({ length: columns * rows }, (_, i): CutTile => {
    const crop = {
      x: across.at(i % columns) + random.between(-jitterPx, jitterPx),
      y: down.at(Math.floor(i / columns)) + random.between(-jitterPx, jitterPx),
      width: across.size,
      height: down.size,
      rotationDeg: random.between(-rotationDeg, rotationDeg),
    }
    // Drawn only where asked for, so that what was painted before stays as it is.
    const pixelsAPixel = scaleSpread ? 1 + random.between(-scaleSpread, scaleSpread) / 2 : 1
    const gain = 1 + random.between(-gainSpread, gainSpread)
    const turned = turnedTiles.includes(i) ? turn : 0
    return {
      ...capture(painting, {
        ...request,
        crop: { ...crop, pixelsAPixel },
        turned,
        gain,
        seed: seed + 31 * i,
      }),
      turned,
      gain,
    }
  })
}
