import type { Affine } from '../../raster/warp/PlaneMap.js'
import type { StitchReading } from './Reading.js'

/**
 * Where each capture lies, in the captures' order: the 2 x 3 matrix from its pixels on disk to the sheet's, row by row,
 * pixel centres at whole numbers; undefined where a capture is left out.
 */
export const placements = (reading: StitchReading): (Affine | undefined)[] =>
  reading.captures.map(({ placed }) => placed?.toSheet)
