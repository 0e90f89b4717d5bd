/** How an undeveloped capture's numbers are to be understood. */
export interface RawColour {
  /** As shot: what red and blue are multiplied by so that what the camera took for white is neutral; green is 1. */
  whiteBalance: { red: number; blue: number }
  /** From white-balanced camera numbers to linear sRGB, row-major 3x3; undefined where the camera is not known. */
  toSrgb?: number[]
}
