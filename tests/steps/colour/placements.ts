import { type Homography, mapPoint, type Point } from '../../../src/steps/colour/find/homography.js'
import { busyGround, drawChart, randomPlacement, seeded, strangeCamera, TRUE_2014 } from './drawChart.js'

const PLACES = TRUE_2014.map((_, k): Point => [k % 6, Math.floor(k / 6)])

/** Largest distance of a patch centre from the truth, as a share of the distance between patches. */
export function worstError(truth: Homography, found: Homography): number {
  const [x0, y0] = mapPoint(truth, [2, 1])
  const [x1, y1] = mapPoint(truth, [3, 1])
  const pitch = Math.hypot(x1 - x0, y1 - y0)
  return Math.max(
    ...PLACES.map((place) => {
      const [ax, ay] = mapPoint(truth, place)
      const [bx, by] = mapPoint(found, place)
      return Math.hypot(ax - bx, ay - by) / pitch
    }),
  )
}

/**
 * A chart laid down at random on a busy ground, seen by a strange camera in uneven light: any rotation, tilted up to 20
 * degrees, 18 to 90 % of the picture's longer side (3 % of its area and up).
 */
export function placementOf(seed: number) {
  const [width, height] = [640, 480]
  const random = seeded(7000 + seed)
  const toPicture = randomPlacement(random, width, height, 0.18 + 0.72 * random() ** 1.5)
  const camera = strangeCamera(random)
  const ground = busyGround(random, width, height)
  const [across, down] = [(random() - 0.5) * 0.6, (random() - 0.5) * 0.4]
  const tile = drawChart({
    width,
    height,
    toPicture,
    colours: TRUE_2014.map(camera),
    ground: (x, y) => camera(ground(x, y)),
    light: (x, y) => 1 + across * (x / width - 0.5) + down * (y / height - 0.5),
    noise: 0.004 + 0.006 * random(),
    patchShare: 0.72 + 0.22 * random(),
    seed,
  })
  return { tile, toPicture }
}
