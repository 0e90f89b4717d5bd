/** How a capture was taken, as far as its file says. Plain JSON. */
export interface CaptureConditions {
  /** Maker and model of the camera or scanner. */
  device?: string
  lens?: string
  /** Seconds. */
  timeS?: number
  /** Focal length over aperture. */
  fNumber?: number
  iso?: number
  focalMm?: number
  /** Kind of light, in words. */
  light?: string
  /** What the camera took for white: how much it would multiply red and blue, green being 1. */
  whiteBalance?: { red: number; blue: number }
}
