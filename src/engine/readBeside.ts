import { basename } from 'node:path'
import { captureSource } from '../colour/captureSource.js'
import { encodeTile } from '../colour/encodeTile.js'
import type { SpaceName } from '../colour/spaces/SpaceName.js'
import { decodePicture } from '../files/decodePicture.js'
import type { PictureSize } from '../outputs/contract.js'
import { emptyRaster, type Raster } from '../raster/Raster.js'
import { resized } from '../raster/resample/resized.js'
import { captureTransform } from './captureTransform.js'
import { tilesOf } from './tilesOf.js'

const TILE_PX = 512

/**
 * A small picture that an output places besides the master, in a standard space.
 * @param path absolute; its profile is the embedded one, else sRGB
 * @param largest in pixels; what is larger is reduced in linear light to fit
 * @throws RequestError for a file that is no usable picture; Interrupted
 */
export async function readBeside(
  path: string,
  largest: PictureSize,
  space: SpaceName,
  signal: AbortSignal,
): Promise<Raster> {
  const { raster, header } = await decodePicture(path, { signal, onWhite: true })
  const { transform } = await captureTransform(header, basename(path), undefined)
  const scale = Math.min(1, largest.width / raster.width, largest.height / raster.height)
  const width = Math.max(1, Math.round(raster.width * scale))
  const height = Math.max(1, Math.round(raster.height * scale))
  const whole = { x: 0, y: 0, width: raster.width, height: raster.height }
  const picture = resized(captureSource(raster, transform), whole, width, height)
  const target = emptyRaster(width, height)
  for (const rect of tilesOf(width, height, TILE_PX)) encodeTile(picture.region(rect), space, target)
  return target
}
