import { createRequire } from 'node:module'
import { beforeAll, describe, expect, it } from 'vitest'
import { seeded } from '../../../demo-data/painter/seeded.js'
import type { Source } from '../../../src/raster/Source.js'
import { mapPoint, type PlaneMap } from '../../../src/raster/warp/PlaneMap.js'
import { findHomography } from '../../../src/steps/stitch/place/features/findHomography.js'
import { fitHomography, type PointMatch } from '../../../src/steps/stitch/place/features/fitHomography.js'
import { placements } from '../../../src/steps/stitch/placements.js'
import { wholeTile } from '../../helpers/readContext.js'
import { smallPainting } from './cutUps.js'
import { paintedFrames, readFrames } from './frames.js'

/**
 * OpenCV (Apache-2.0) in WebAssembly, a general-purpose computer-vision library: its homographies (findHomography) and its
 * features (ORB: E. Rublee et al., "ORB: an efficient alternative to SIFT or SURF", Proc. ICCV 2011) against ours.
 */
// biome-ignore lint/suspicious/noExplicitAny: the library's types do not describe what is built
let cv: any

beforeAll(async () => {
  cv = createRequire(import.meta.url)('@techstark/opencv-js')
  if (!cv.Mat) {
    await new Promise<void>((resolve) => {
      cv.onRuntimeInitialized = resolve
    })
  }
}, 30_000)

const TRUTH: PlaneMap = [1.08, -0.06, 31, 0.05, 0.94, -22, 8e-5, -1.1e-4]

/** Points of a frame and where a homography puts them, off by a little; some are wrong altogether. */
function pairsOf(seed: number, sigmaPx: number, wrongShare: number): PointMatch[] {
  const random = seeded(seed, 3)
  return Array.from({ length: 80 }, (_, i) => {
    const a: [number, number] = [random.between(0, 800), random.between(0, 600)]
    const [x, y] = mapPoint(TRUTH, ...a)
    if (i < wrongShare * 80) return { a, b: [random.between(0, 800), random.between(0, 600)] as const }
    return { a, b: [x + sigmaPx * random.normal(), y + sigmaPx * random.normal()] as const }
  })
}

function theirHomography(pairs: readonly PointMatch[], tolerancePx?: number): PlaneMap {
  const from = cv.matFromArray(
    pairs.length,
    2,
    cv.CV_64F,
    pairs.flatMap(({ a }) => [...a]),
  )
  const to = cv.matFromArray(
    pairs.length,
    2,
    cv.CV_64F,
    pairs.flatMap(({ b }) => [...b]),
  )
  const found =
    tolerancePx === undefined
      ? cv.findHomography(from, to)
      : cv.findHomography(from, to, cv.RANSAC, tolerancePx)
  const numbers: number[] = [...found.data64F]
  for (const mat of [from, to, found]) mat.delete()
  return numbers.slice(0, 8).map((value) => value / numbers[8]) as PlaneMap
}

/** The farthest two maps put a point of a frame apart. */
function farthest(a: PlaneMap, b: PlaneMap): number {
  let most = 0
  for (let y = 0; y <= 600; y += 100) {
    for (let x = 0; x <= 800; x += 100) {
      const [p, q] = [mapPoint(a, x, y), mapPoint(b, x, y)]
      most = Math.max(most, Math.hypot(p[0] - q[0], p[1] - q[1]))
    }
  }
  return most
}

describe('homographies of a computer-vision library and ours', () => {
  it('are the same where the points fix one exactly', () => {
    const pairs = pairsOf(1, 0, 0)
    expect(farthest(fitHomography(pairs)!, TRUTH)).toBeLessThan(1e-6)
    expect(farthest(theirHomography(pairs), TRUTH)).toBeLessThan(1e-4)
  })

  it.each([2, 3, 4])('agree within 0.1 px on points that are off by 0.3 px, seed %i', (seed) => {
    const pairs = pairsOf(seed, 0.3, 0)
    // They minimise distances and we their linear form; both are far nearer to each other than to the noise.
    expect(farthest(fitHomography(pairs)!, theirHomography(pairs))).toBeLessThan(0.1)
  })

  it.each([5, 6, 7])('agree within 0.5 px where four in ten points are wrong, seed %i', (seed) => {
    const pairs = pairsOf(seed, 0.3, 0.4)
    const { map, inliers } = findHomography(pairs, 2)!
    expect(inliers.filter((k) => k < 32).length).toBeLessThanOrEqual(2)
    expect(farthest(map, theirHomography(pairs, 2))).toBeLessThan(0.5)
    expect(farthest(map, TRUTH)).toBeLessThan(0.7)
  })
})

describe('painted frames', () => {
  const frames = paintedFrames(smallPainting(), { seed: 3, lens: { focalWidths: 1.3, k1: 0, k2: 0 } })
  const { sources, reading } = readFrames(frames)

  it.each([
    [0, 1],
    [0, 2],
    [2, 3],
  ])(
    '%i and %i lie as the library’s own features and matches have them, within what those can tell',
    async (i, j) => {
      const pairs = theirMatches(sources[i], sources[j])
      expect(pairs.length).toBeGreaterThan(25)
      const theirs = theirHomography(pairs, 3)
      const found = placements(await reading)
      const agreeing = pairs.filter(({ a, b }) => {
        const [x, y] = mapPoint(theirs, ...a)
        return Math.hypot(x - b[0], y - b[1]) < 3
      })
      expect(agreeing.length).toBeGreaterThan(12)
      // Where their matches agree among themselves, our placements put both on one place of the sheet.
      const errors = agreeing
        .map(({ a, b }) => {
          const [p, q] = [found[i]!(...a), found[j]!(...b)]
          return Math.hypot(p[0] - q[0], p[1] - q[1])
        })
        .sort((p, q) => p - q)
      // Their corners lie on whole pixels of a pyramid: a pixel or so each.
      expect(errors[errors.length >> 1]).toBeLessThan(1.5)
    },
  )
})

/** Matches of the library's features, each other's best. */
function theirMatches(first: Source, second: Source): PointMatch[] {
  const orb = new cv.ORB(1500)
  const none = new cv.Mat()
  const describe_ = (source: Source) => {
    const grey = greyOf(source)
    const points = new cv.KeyPointVector()
    const descriptors = new cv.Mat()
    orb.detectAndCompute(grey, none, points, descriptors)
    grey.delete()
    return { points, descriptors }
  }
  const [a, b] = [describe_(first), describe_(second)]
  const matcher = new cv.BFMatcher(cv.NORM_HAMMING, true)
  const matches = new cv.DMatchVector()
  matcher.match(a.descriptors, b.descriptors, matches)
  const pairs: (PointMatch & { distance: number })[] = []
  for (let k = 0; k < matches.size(); k++) {
    const { queryIdx, trainIdx, distance } = matches.get(k)
    const [p, q] = [a.points.get(queryIdx).pt, b.points.get(trainIdx).pt]
    pairs.push({ a: [p.x, p.y], b: [q.x, q.y], distance })
  }
  for (const thing of [a.points, a.descriptors, b.points, b.descriptors, matches, matcher, orb, none])
    thing.delete()
  return pairs.sort((p, q) => p.distance - q.distance).slice(0, 120)
}

/** A picture's light as eight-bit grey. */
function greyOf(source: Source) {
  const { rect, planes } = wholeTile(source)
  const grey = new cv.Mat(rect.height, rect.width, cv.CV_8UC1)
  for (let i = 0; i < planes[1].length; i++) {
    grey.data[i] = Math.round(255 * Math.min(1, Math.max(0, planes[1][i])) ** (1 / 2.2))
  }
  return grey
}
