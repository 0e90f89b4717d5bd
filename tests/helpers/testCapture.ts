import { join } from 'node:path'
import { profileBytes } from '../../src/colour/profiles/profileBytes.js'
import { writePicture } from '../../src/files/writePicture.js'
import { emptyRaster } from '../../src/raster/Raster.js'

/**
 * Writes a small colourful capture: gradients, edges and seeded grain, so that every step has something to do.
 * @returns its path
 */
export async function testCapture(folder: string, name: string, width = 700, height = 500): Promise<string> {
  const raster = emptyRaster(width, height)
  let state = 12345
  const random = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return state / 2 ** 32
  }
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = 3 * (y * width + x)
      const grain = 1 + 0.05 * (random() - 0.5)
      const painted = Math.hypot(x - width / 2, y - height / 2) < height / 3
      const rgb = painted ? [0.25 + (0.4 * x) / width, 0.35, 0.8 - (0.3 * y) / height] : [0.95, 0.94, 0.9]
      for (let c = 0; c < 3; c++) raster.data[i + c] = Math.round(65535 * Math.min(1, rgb[c] * grain))
    }
  }
  const path = join(folder, name)
  await writePicture(path, raster, { format: 'tif', depth: 16, ppi: 300, profile: profileBytes('sRGB') })
  return path
}
