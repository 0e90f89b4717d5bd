import { existsSync } from 'node:fs'
import { mkdir } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { capture } from '../../demo-data/capture.js'
import { paint } from '../../demo-data/paint.js'
import { profileBytes } from '../../src/colour/profiles/profileBytes.js'
import { writePicture } from '../../src/files/writePicture.js'
import { mirrored } from '../../src/raster/padded.js'
import { emptyRaster } from '../../src/raster/Raster.js'

/**
 * A 16-bit scan of 70 megapixels (10,240 x 6,840) as an uncompressed TIFF: one painted sheet with tooth, mirrored four
 * times each way. Kept between runs of the bench.
 * @returns its path
 */
export async function largeScan(): Promise<string> {
  const folder = join(tmpdir(), 'finetooth-bench')
  await mkdir(folder, { recursive: true })
  const path = join(folder, 'scan-70-megapixels.tif')
  if (existsSync(path)) return path
  const painting = paint({ seed: 70, width: 2560, height: 1710, ppi: 300, sheet: 'tooth' })
  const { raster } = capture(painting, {
    ...{
      lampFromDeg: 0,
      lampHeightDeg: 45,
      reliefDepth: 1,
      falloff: 0,
      device: 'truth',
      noise: 0.002,
      blurPx: 0.5,
    },
    ...{ turned: 0, seed: 70 },
  })
  const large = emptyRaster(10240, 6840)
  for (let y = 0; y < large.height; y++) {
    const row = mirrored(y, raster.height) * raster.width
    for (let x = 0; x < large.width; x++) {
      const from = 3 * (row + mirrored(x, raster.width))
      const to = 3 * (y * large.width + x)
      for (let c = 0; c < 3; c++) large.data[to + c] = raster.data[from + c]
    }
  }
  await writePicture(path, large, { format: 'tif', depth: 16, ppi: 600, profile: profileBytes('sRGB') })
  return path
}
