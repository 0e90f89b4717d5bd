import { type CutFrame, cutIntoFrames, type FramesRequest } from '../../../demo-data/cutIntoFrames.js'
import type { Painting } from '../../../demo-data/Painting.js'
import { captureSource } from '../../../src/colour/captureSource.js'
import { spaceTransform } from '../../../src/colour/spaceTransform.js'
import { stitch } from '../../../src/steps/stitch/step.js'
import { type ReadContextOptions, readContext } from '../../helpers/readContext.js'

/** A painting in frames as a camera on a stand sees it: tilted, behind a lens, unlike in distance, focus and light. */
export const paintedFrames = (
  painting: Painting,
  request: Partial<FramesRequest> & { seed: number },
): CutFrame[] =>
  cutIntoFrames(painting, {
    ...{ columns: 2, rows: 2, overlap: 0.3, beyondPx: 25, jitter: 0.04, turnDeg: 4, tiltDeg: 15 },
    ...{ distanceSpread: 0.1, gainSpread: 0.1, blurPx: [0.7, 1.1], vignetting: 0.15, surround: 0.08 },
    ...{ lens: { focalWidths: 1.3, k1: -0.06, k2: 0.01 }, noise: 0.004, reliefDepth: 1 },
    ...{ lampFromDeg: 0, lampHeightDeg: 45 },
    ...request,
  })

/** Takes the step's reading of frames. */
export function readFrames(frames: readonly CutFrame[], options: Partial<ReadContextOptions> = {}) {
  const sources = frames.map(({ raster }) => captureSource(raster, spaceTransform('sRGB')))
  const context = readContext(sources, { kind: 'camera', ...options })
  return { sources, context, reading: stitch.read(sources, stitch.params.parse({}), context) }
}
