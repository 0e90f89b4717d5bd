import { padded } from '../../raster/padded.js'
import type { Rect } from '../../raster/Rect.js'
import type { Source } from '../../raster/Source.js'
import type { Tile } from '../../raster/Tile.js'
import { isExactCopyOf } from '../../raster/warp/PlaneMap.js'
import { areaOf } from './combine/areaOf.js'
import { combineTiles } from './combine/combineTiles.js'
import type { Combining } from './combine/Layer.js'
import { PLAIN } from './combine/ReliefModel.js'
import { joinDivided } from './joinDivided.js'
import type { SeamMap, StitchReading } from './Reading.js'
import { cellShares, NARROW, wideSpread } from './seams/cellShares.js'
import { coarseSteps } from './seams/coarseSteps.js'
import type { Picture } from './seams/joinParts.js'
import { partOf, rampOf } from './seams/Part.js'
import { fromRuns } from './seams/runs.js'

/**
 * The sheet in two bands: fine detail follows the seam map over a narrow transition, so that nothing is seen twice where
 * captures lie a little apart, and coarse light over a wide one, so that what their light differs by has no edge. The
 * coarse band is a factor, not a sum: light that differs differs by a share, and a dark line is not lifted by what the
 * paper beside it lacks. Where lightings are combined, each is made so and they are combined in turn. Each capture is
 * interpolated once, by the composition of all its geometry. Same pixels, same bits, whatever the region asked for.
 * Source: P. J. Burt, E. H. Adelson, "A multiresolution spline with application to image mosaics", ACM Trans. Graphics
 * 2(4), 1983, pp. 217-236, doi:10.1145/245.247 (bands, each with a transition of its own size).
 */
export function joined(sources: readonly Source[], reading: StitchReading): Source {
  const { width, height, fill, layers } = reading
  const parts = reading.captures.flatMap(({ placed }, index) =>
    placed ? [partOf(index, sources[index], placed, layers[0].seams.cellPx)] : [],
  )
  if (parts.length === 1 && isExactCopyOf(parts[0].fromSheet, parts[0].source, { width, height })) {
    if (!parts[0].lens && parts[0].gain.every((gain) => gain === 1) && !parts[0].field) return parts[0].source
  }
  const combining = reading.combining ?? { featherPx: 0, severalShare: 0, opposedShare: 0 }
  const pictures = layers.map(({ turned = 0, captures, seams, coarse }) => ({
    turned,
    parts: parts.filter(({ index }) => captures.includes(index)),
    ...sharesOf(seams),
    ...(coarse ? { coarse: coarseSteps(coarse, seams) } : {}),
  }))
  return {
    width,
    height,
    region(rect) {
      if (rect.x < 0 || rect.y < 0 || rect.x + rect.width > width || rect.y + rect.height > height) {
        throw new RangeError(
          `region ${rect.x},${rect.y} ${rect.width}x${rect.height} leaves the ${width}x${height} picture`,
        )
      }
      return pictures.length === 1
        ? joinDivided(pictures[0], fill, rect)
        : combined(pictures, combining, reading, rect)
    },
  }
}

function sharesOf(seams: SeamMap): Pick<Picture, 'narrow' | 'wide'> {
  const labels = fromRuns(seams.runs, seams.width * seams.height)
  return {
    narrow: cellShares(labels, seams, NARROW),
    wide: cellShares(labels, seams, wideSpread(seams.cellPx)),
  }
}

/**
 * Lightings that reach a rectangle or its surroundings, each joined for itself. Around the sheet it is mirrored, as
 * combining looks at a place's neighbours.
 */
function combined(
  pictures: readonly Picture[],
  { featherPx, model = PLAIN, fine }: Combining,
  { width, height, fill }: StitchReading,
  rect: Rect,
): Tile {
  const area = areaOf(rect, model)
  const lightings = pictures.flatMap((picture) => {
    const reaches: Source = {
      ...{ width, height },
      region(part) {
        const reach = reachOf(picture, featherPx, part)
        return { rect: part, planes: [reach, reach, reach] }
      },
    }
    const [reach] = padded(reaches, area).planes
    return reach.some((value) => value > 0) ? [{ picture, reach }] : []
  })
  if (lightings.length < 2) return joinDivided(lightings[0]?.picture ?? pictures[0], fill, rect)
  return combineTiles(
    lightings.map(({ picture, reach }) => ({
      turned: picture.turned,
      reach,
      tile: padded({ width, height, region: (part) => joinDivided(picture, fill, part) }, area),
    })),
    rect,
    model,
    fill,
    fine,
  )
}

/** How far inside what a layer covers each pixel lies: 0 at its border, 1 from `featherPx` on. */
function reachOf({ parts }: Picture, featherPx: number, rect: Rect): Float32Array {
  const reach = new Float32Array(rect.width * rect.height)
  for (const part of parts) {
    const ramp = rampOf(part, rect, featherPx * part.scale)
    for (let i = 0; i < reach.length; i++) reach[i] = Math.max(reach[i], ramp[i])
  }
  return reach
}
