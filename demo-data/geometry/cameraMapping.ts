import type { CameraLens, CameraPose } from './CameraPose.js'

/**
 * Where the pixels of a camera's frame lie in the painting: each pixel's ray, its lens undone, is followed to the
 * painting's plane.
 * @returns from frame pixels, centres at whole numbers, to the painting's
 */
export function cameraMapping(
  { x, y, pixelsAPixel, turnDeg, tiltDeg, tiltTowardsDeg }: CameraPose,
  { focalPx, k1, k2 }: CameraLens,
  width: number,
  height: number,
): (u: number, v: number) => [x: number, y: number] {
  const rad = (deg: number) => (deg * Math.PI) / 180
  const [turnC, turnS] = [Math.cos(rad(turnDeg)), Math.sin(rad(turnDeg))]
  const [tiltC, tiltS] = [Math.cos(rad(tiltDeg)), Math.sin(rad(tiltDeg))]
  const [towardsX, towardsY] = [Math.sin(rad(tiltTowardsDeg)), -Math.cos(rad(tiltTowardsDeg))]
  const cornerPx = Math.hypot(width, height) / 2
  const distance = pixelsAPixel * focalPx
  // The camera's place: back along the axis from where it meets the painting.
  const [eyeX, eyeY, eyeZ] = [
    x - distance * tiltS * towardsX,
    y - distance * tiltS * towardsY,
    distance * tiltC,
  ]
  return (u, v) => {
    let [px, py] = [u - (width - 1) / 2, v - (height - 1) / 2]
    const seen = Math.hypot(px, py) / cornerPx
    const factor = seen > 0 ? undistortedDistance(seen, k1, k2) / seen : 1
    px *= factor / focalPx
    py *= factor / focalPx
    // Turned about the axis, then along the direction of tilt (a) and across it (b).
    const [rx, ry] = [turnC * px - turnS * py, turnS * px + turnC * py]
    const [a, b] = [rx * towardsX + ry * towardsY, -rx * towardsY + ry * towardsX]
    // The axis leans towards the tilt's direction; the ray's part along it leans too.
    const [along, down] = [a * tiltC + tiltS, tiltC - a * tiltS]
    const reach = eyeZ / down
    return [
      eyeX + reach * (along * towardsX - b * towardsY),
      eyeY + reach * (along * towardsY + b * towardsX),
    ]
  }
}

/** The distance r for which r (1 + k1 r^2 + k2 r^4) is what is seen, by halving. */
function undistortedDistance(seen: number, k1: number, k2: number): number {
  let [low, high] = [0, 2 * seen]
  for (let i = 0; i < 48; i++) {
    const r = (low + high) / 2
    if (r * (1 + r * r * (k1 + r * r * k2)) < seen) low = r
    else high = r
  }
  return (low + high) / 2
}
