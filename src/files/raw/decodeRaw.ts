import type { RawMetadata } from 'libraw-wasm/dist/libraw.js'
import { Interrupted } from '../../errors.js'
import { emptyRaster, type Raster } from '../../raster/Raster.js'
import { damaged } from '../unfit.js'
import type { RawColour } from './RawColour.js'
import { withRaw } from './withRaw.js'

/**
 * LibRaw's numbers of its ways to interpolate a mosaic. On a painted sheet DCB with its refined colours came 2 to 3 dB
 * nearer to the truth than the next best and left half the colour fringe at pencil lines, in two to three times the time.
 */
const [AHD, DCB] = [3, 4]
/** DCB holds 12 bytes a pixel more, and LibRaw's memory ends at two gigabytes. */
const LARGE_PIXELS = 60e6

/**
 * Linear light from the mosaic: black taken off, scaled to the sensor's white, white-balanced without clipping (the
 * largest multiplier is 1), interpolated, upright; no tone curve, no automatic brightening, no change of highlights, no
 * camera matrix. Interpolation goes by colour differences, and these are small only once greys are balanced: 7 dB better
 * on a painted sheet than without.
 * Six values of `gamm` are needed, or LibRaw's wrapper leaves its curve on.
 */
const settingsFor = ({ red, blue }: RawColour['whiteBalance'], pixels: number) => ({
  ...{ outputBps: 16, outputColor: 0, useCameraMatrix: 0, gamm: [1, 1, 0, 0, 0, 0] },
  ...{ noAutoBright: true, adjustMaximumThr: 0, highlight: 1, useCameraWb: false, useAutoWb: false },
  userMul: [red, 1, blue, 1],
  ...(pixels > LARGE_PIXELS ? { userQual: AHD } : { userQual: DCB, dcbIterations: 1, dcbEnhanceFl: true }),
})

/**
 * Decodes an undeveloped camera file to linear, white-balanced camera numbers.
 * Takes some seconds and blocks its thread meanwhile: for a worker, where there is one.
 * @param whiteBalance what to balance by: one for all captures of a run, so that they stay comparable
 * @returns green keeps its share of full scale times `1 / max(red, 1, blue)`
 * @throws RequestError where LibRaw cannot read it
 */
export async function decodeRaw(
  path: string,
  whiteBalance: RawColour['whiteBalance'],
  signal?: AbortSignal,
): Promise<Raster> {
  const settings = ({ width, height }: RawMetadata) => settingsFor(whiteBalance, width * height)
  return withRaw(path, settings, (raw) => {
    if (signal?.aborted) throw new Interrupted()
    const image = raw.imageData()
    if (image?.bits !== 16 || image.data.length < image.colors * image.width * image.height) {
      throw damaged(path, 'its pixels cannot be unpacked')
    }
    const raster = emptyRaster(image.width, image.height)
    if (image.colors === 3) raster.data.set(image.data)
    else for (let i = 0; i < raster.data.length; i++) raster.data[i] = image.data[Math.floor(i / 3)]
    return raster
  })
}
