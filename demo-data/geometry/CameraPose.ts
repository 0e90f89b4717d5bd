/** How a camera on a stand looks at a painting. Lengths in painting pixels, angles in degrees. */
export interface CameraPose {
  /** Where the optical axis meets the painting. */
  x: number
  y: number
  /** From the lens to that place, in focal lengths: painting pixels a frame pixel there. */
  pixelsAPixel: number
  /** The frame's turn about the optical axis, clockwise. */
  turnDeg: number
  /** Tilt of the optical axis against the painting's normal: by how much, and in which direction (clockwise from the top). */
  tiltDeg: number
  tiltTowardsDeg: number
}

/** What frames of one camera share. */
export interface CameraLens {
  /** Focal length in frame pixels. */
  focalPx: number
  /**
   * Radial distortion: a ray at distance r from the axis (1 in the frame's corners) is seen at r (1 + k1 r^2 + k2 r^4).
   * Source: D. C. Brown, "Close-range camera calibration", Photogrammetric Engineering 37(8), 1971 (from memory).
   */
  k1: number
  k2: number
}
