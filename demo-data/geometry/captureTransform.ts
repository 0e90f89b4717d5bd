import type { Transform } from '../Transform.js'

/** Part of a painting, in its pixels; turned a little about its middle. */
export interface Crop {
  x: number
  y: number
  width: number
  height: number
  rotationDeg?: number
  /** Painting pixels a capture pixel about its middle: a scanner's scale is not the same twice. */
  pixelsAPixel?: number
}

/**
 * Where the pixels of a capture lie in the painting.
 * @param turned how the sheet lay, clockwise: the capture shows the picture turned by this
 * @param crop what part of the painting lay under the glass; its pixels' corners, not centres, are at x and y
 * @returns the capture's size and its transform for pixel centres at integers
 */
export function captureTransform(
  crop: Crop,
  turned: 0 | 90 | 180 | 270,
): { width: number; height: number; toPainting: Transform } {
  const upright = turned % 180 === 0
  const width = Math.round(upright ? crop.width : crop.height)
  const height = Math.round(upright ? crop.height : crop.width)
  // A sheet turned clockwise by t: a step to the right in the capture is a step turned by -t in the painting.
  const back = (-turned * Math.PI) / 180
  const [ct, st] = [Math.round(Math.cos(back)), Math.round(Math.sin(back))]
  const r = ((crop.rotationDeg ?? 0) * Math.PI) / 180
  const step = crop.pixelsAPixel ?? 1
  const [cr, sr] = [step * Math.cos(r), step * Math.sin(r)]
  const [a, b, d, e] = [cr * ct - sr * st, -cr * st - sr * ct, sr * ct + cr * st, -sr * st + cr * ct]
  const middleX = crop.x + crop.width / 2 - 0.5
  const middleY = crop.y + crop.height / 2 - 0.5
  const [u, v] = [(width - 1) / 2, (height - 1) / 2]
  // `+ 0` turns a negative zero into zero.
  return {
    width,
    height,
    toPainting: [a + 0, b + 0, middleX - a * u - b * v, d + 0, e + 0, middleY - d * u - e * v],
  }
}
