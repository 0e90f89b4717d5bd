import { captureFrame, type FrameRequest, type PaintedFrame } from './captureFrame.js'
import type { CameraLens, CameraPose } from './geometry/CameraPose.js'
import type { Painting } from './Painting.js'
import { seeded } from './painter/seeded.js'

export interface FramesRequest
  extends Omit<FrameRequest, 'width' | 'height' | 'pose' | 'lens' | 'gains' | 'blurPx'> {
  columns: number
  rows: number
  /** Share of a frame that its neighbour also holds, 0..1, before tilts and jitter. */
  overlap: number
  /** Painting pixels of the table seen about the sheet. */
  beyondPx: number
  lens: Omit<CameraLens, 'focalPx'> & { focalWidths: number }
  /** Frames tilt by up to this. */
  tiltDeg: number
  /** And lie turned by up to this, either way, */
  turnDeg: number
  /** off by up to this share of a frame, */
  jitter: number
  /** nearer or farther by up to this share, */
  distanceSpread: number
  /** exposed and balanced differently by up to this share, either way, */
  gainSpread: number
  /** and blurred between these (standard deviations in painting pixels). */
  blurPx: readonly [number, number]
}

export interface CutFrame extends PaintedFrame {
  pose: CameraPose
}

/** A painting in overlapping frames of one camera, row by row. */
export function cutIntoFrames(painting: Painting, request: FramesRequest): CutFrame[] {
  const { columns, rows, overlap, beyondPx, tiltDeg, turnDeg, jitter, distanceSpread, gainSpread, seed } =
    request
  const random = seeded(seed, 23)
  const size = (length: number, count: number) => (length + 2 * beyondPx) / (count - (count - 1) * overlap)
  const width = Math.round(size(painting.width, columns))
  const height = Math.round(size(painting.height, rows))
  const middle = (i: number, span: number) => -beyondPx + span / 2 + i * span * (1 - overlap)
  const { focalWidths, k1, k2 } = request.lens
  const lens = { focalPx: focalWidths * width, k1, k2 }
  return Array.from({ length: columns * rows }, (_, i): CutFrame => {
    const pose = {
      x: middle(i % columns, width) + random.between(-jitter, jitter) * width,
      y: middle(Math.floor(i / columns), height) + random.between(-jitter, jitter) * height,
      pixelsAPixel: 1 + random.between(-distanceSpread, distanceSpread),
      turnDeg: random.between(-turnDeg, turnDeg),
      tiltDeg: random.between(0, tiltDeg),
      tiltTowardsDeg: random.between(0, 360),
    }
    const exposure = 1 + random.between(-gainSpread, gainSpread)
    const balance = () => exposure * (1 + random.between(-gainSpread, gainSpread) / 2)
    const gains = [balance(), balance(), balance()] as const
    const blurPx = random.between(...request.blurPx)
    const frame = captureFrame(painting, {
      ...request,
      width,
      height,
      pose,
      lens,
      gains,
      blurPx,
      seed: seed + 31 * i,
    })
    return { ...frame, pose }
  })
}
