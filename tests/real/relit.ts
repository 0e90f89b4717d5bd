import { decodePicture } from '../../src/files/decodePicture.js'
import type { Tile } from '../../src/raster/Tile.js'
import { real } from './realRun.js'

// A real rough sheet's slopes (red: across, green: down; mid grey is level), relit from any side over a picture that is
// known: a second truth beside the painter's own sheets. The slopes are semontesdeoca/MNPR's
// at 8acf986, MIT.
export const SLOPES = 'paper/rough-relief-slope-height.jpg'
/** Slope of full red or green against mid grey, chosen so that the relief is about 5 % RMS, as on a scanned rough sheet. */
const STEEPNESS = 0.5
const AMBIENT = 0.35

/** A picture on the rough sheet under a lamp. */
export async function relit(truth: Tile, fromDeg: number): Promise<Tile> {
  const { raster } = await decodePicture(real(SLOPES))
  const from = (fromDeg * Math.PI) / 180
  const lamp = [Math.sin(from) * Math.SQRT1_2, -Math.cos(from) * Math.SQRT1_2, Math.SQRT1_2]
  const { width, height } = truth.rect
  const planes = truth.planes.map((plane) => plane.slice()) as Tile['planes']
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const at = 3 * (y * raster.width + x)
      const [dx, dy] = [0, 1].map((c) => 2 * STEEPNESS * (raster.data[at + c] / 65535 - 0.5))
      const facing = Math.max(lamp[2] - dx * lamp[0] - dy * lamp[1], 0) / (lamp[2] * Math.hypot(1, dx, dy))
      for (const plane of planes) plane[y * width + x] *= AMBIENT + (1 - AMBIENT) * facing
    }
  }
  return { ...truth, planes }
}
