import { undistorted } from '../../raster/warp/Lens.js'
import { mapPoint } from '../../raster/warp/PlaneMap.js'
import type { StitchReading } from './Reading.js'

/**
 * Where each capture lies, in the captures' order: from its pixels on disk to the sheet's, pixel centres at whole numbers;
 * undefined where a capture is left out.
 */
export const placements = (
  reading: StitchReading,
): (((x: number, y: number) => [x: number, y: number]) | undefined)[] =>
  reading.captures.map(({ placed }) => {
    if (!placed) return undefined
    const { toSheet, lens } = placed
    return (x, y) => mapPoint(toSheet, ...(lens ? undistorted(lens, x, y) : ([x, y] as const)))
  })
