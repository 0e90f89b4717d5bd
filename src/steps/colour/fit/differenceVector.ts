import type { Triple } from './Fit.js'

const DEGREE = Math.PI / 180
const POWER_25_7 = 25 ** 7

/**
 * CIEDE2000 (kL = kC = kH = 1) taken apart into lightness, chroma and hue with their signs: a vector whose length is
 * the colour difference. A fit needs it, as a length alone bends sharply at zero, where least squares wants to go.
 * The rotation term R c h is kept by c' = c + R h / 2, h' = h sqrt(1 - R² / 4).
 * @param lab1 CIELAB
 * @param lab2 CIELAB under the same white
 * Source: Sharma, Wu & Dalal 2005, doi:10.1002/col.20070.
 */
export function differenceVector([l1, a1, b1]: Readonly<Triple>, [l2, a2, b2]: Readonly<Triple>): Triple {
  const meanC7 = seventh((length(a1, b1) + length(a2, b2)) / 2)
  const stretch = 1.5 - 0.5 * Math.sqrt(meanC7 / (meanC7 + POWER_25_7))
  const [x1, x2] = [a1 * stretch, a2 * stretch]
  const [c1, c2] = [length(x1, b1), length(x2, b2)]
  const turn = Math.atan2(x1 * b2 - x2 * b1, x1 * x2 + b1 * b2)
  // The mean hue is the first turned half way to the second; without chroma on one side it is the other's.
  const meanH = c1 === 0 ? Math.atan2(b2, x2) : Math.atan2(b1, x1) + (c2 === 0 ? 0 : turn / 2)
  const degrees = ((meanH / DEGREE) % 360) + (meanH < 0 ? 360 : 0)
  const offL50 = (l1 + l2) / 2 - 50
  const meanL50 = offL50 * offL50
  const meanC = (c1 + c2) / 2
  const t =
    1 -
    0.17 * Math.cos((degrees - 30) * DEGREE) +
    0.24 * Math.cos(2 * degrees * DEGREE) +
    0.32 * Math.cos((3 * degrees + 6) * DEGREE) -
    0.2 * Math.cos((4 * degrees - 63) * DEGREE)
  const fromBlue = (degrees - 275) / 25
  const turnBlue = 60 * Math.exp(-fromBlue * fromBlue) * DEGREE
  const stretchedC7 = seventh(meanC)
  const rotation = -2 * Math.sqrt(stretchedC7 / (stretchedC7 + POWER_25_7)) * Math.sin(turnBlue)
  const l = (l2 - l1) / (1 + (0.015 * meanL50) / Math.sqrt(20 + meanL50))
  const c = (c2 - c1) / (1 + 0.045 * meanC)
  const h = (2 * Math.sqrt(c1 * c2) * Math.sin(turn / 2)) / (1 + 0.015 * meanC * t)
  return [l, c + (rotation * h) / 2, h * Math.sqrt(1 - (rotation * rotation) / 4)]
}

/** The seventh power by multiplication, and the length of a pair: several times quicker than the general functions. */
function seventh(value: number): number {
  const square = value * value
  return square * square * square * value
}

const length = (a: number, b: number) => Math.sqrt(a * a + b * b)
