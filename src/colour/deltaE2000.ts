import type { Vector3 } from './matrix3.js'

const DEGREE = Math.PI / 180
const POWER_25_7 = 25 ** 7

const hueDegrees = (b: number, a: number) => {
  const degrees = Math.atan2(b, a) / DEGREE
  return degrees < 0 ? degrees + 360 : degrees
}

/**
 * Colour difference CIEDE2000 with kL = kC = kH = 1.
 * @param lab1 CIELAB, L* 0..100
 * @param lab2 CIELAB under the same white
 * @returns the difference, 0 and up
 * Source: G. Sharma, W. Wu, E. N. Dalal, The CIEDE2000 color-difference formula, Color Res. Appl. 30 (2005) 21,
 * doi:10.1002/col.20070.
 */
export function deltaE2000([l1, a1, b1]: Readonly<Vector3>, [l2, a2, b2]: Readonly<Vector3>): number {
  const meanC7 = ((Math.hypot(a1, b1) + Math.hypot(a2, b2)) / 2) ** 7
  const stretch = 1.5 - 0.5 * Math.sqrt(meanC7 / (meanC7 + POWER_25_7))
  const [x1, x2] = [a1 * stretch, a2 * stretch]
  const [c1, c2] = [Math.hypot(x1, b1), Math.hypot(x2, b2)]
  const coloured = c1 * c2 !== 0
  const [h1, h2] = [c1 ? hueDegrees(b1, x1) : 0, c2 ? hueDegrees(b2, x2) : 0]

  // The turn from the first hue to the second is taken from the vectors and not from the two angles: where the hues are
  // exactly opposite, the last bit of an angle would decide the branch (published pairs 10 and 14). Exactly opposite
  // hues stand on the branch without a full turn.
  const cross = x1 * b2 - x2 * b1
  const turn = cross === 0 ? 0 : Math.atan2(cross, x1 * x2 + b1 * b2) / DEGREE
  const difference = h2 - h1
  const overNorth = coloured && cross !== 0 && Math.abs(difference - turn) > 180
  const deltaH = !coloured ? 0 : overNorth ? difference - Math.sign(difference) * 360 : difference
  const sum = h1 + h2
  const meanH = !coloured ? sum : overNorth ? (sum < 360 ? sum + 360 : sum - 360) / 2 : sum / 2

  const meanL50 = ((l1 + l2) / 2 - 50) ** 2
  const meanC = (c1 + c2) / 2
  const t =
    1 -
    0.17 * Math.cos((meanH - 30) * DEGREE) +
    0.24 * Math.cos(2 * meanH * DEGREE) +
    0.32 * Math.cos((3 * meanH + 6) * DEGREE) -
    0.2 * Math.cos((4 * meanH - 63) * DEGREE)
  const turnBlue = 60 * Math.exp(-(((meanH - 275) / 25) ** 2)) * DEGREE
  const rotation = -2 * Math.sqrt(meanC ** 7 / (meanC ** 7 + POWER_25_7)) * Math.sin(turnBlue)

  const l = (l2 - l1) / (1 + (0.015 * meanL50) / Math.sqrt(20 + meanL50))
  const c = (c2 - c1) / (1 + 0.045 * meanC)
  const h = (2 * Math.sqrt(c1 * c2) * Math.sin((deltaH / 2) * DEGREE)) / (1 + 0.015 * meanC * t)
  return Math.sqrt(l * l + c * c + h * h + rotation * c * h)
}
