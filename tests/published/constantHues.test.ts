import { describe, expect, it } from 'vitest'
import { adaptation } from '../../src/colour/adaptation.js'
import { xyzD50ToLab } from '../../src/colour/lab.js'
import { apply3, type Vector3 } from '../../src/colour/matrix3.js'
import { workingToOklch } from '../../src/colour/oklch.js'
import { D65_XY } from '../../src/colour/spaces/srgb.js'
import { D50_XYZ, xyToXyz } from '../../src/colour/whites.js'
import { XYZ_D50_TO_WORKING } from '../../src/colour/working.js'
import { CONSTANT_HUES } from './constantHues.js'

const toD50 = adaptation(xyToXyz(D65_XY), D50_XYZ)
const oklch = (xyzD65: Readonly<Vector3>) => workingToOklch(apply3(XYZ_D50_TO_WORKING, apply3(toD50, xyzD65)))
const labHue = (xyzD65: Readonly<Vector3>) => {
  const [, a, b] = xyzD50ToLab(apply3(toD50, xyzD65))
  return (Math.atan2(b, a) * 180) / Math.PI
}

/** Width of the arc that holds all hues, in degrees. */
function spread(hues: readonly number[]): number {
  const turns = hues.map((hue) => ((hue - hues[0] + 540) % 360) - 180)
  return Math.max(...turns) - Math.min(...turns)
}

describe('constant perceived hue (Ebner & Fairchild 1998)', () => {
  it('Oklch follows the blue locus closer than CIELAB, whose blues drift to purple', () => {
    const blues = CONSTANT_HUES.blue
    const inOklch = spread(blues.map((xyz) => oklch(xyz)[2]))
    const inLab = spread(blues.map(labHue))
    // That CIELAB's blues are the worst is stated by Braun, Ebner, Fairchild 1998 (6th Color Imaging Conference).
    expect(inOklch).toBeLessThan(0.7 * inLab)
    expect(inOklch).toBeLessThan(11)
  })

  it.each(['red', 'green', 'orange red', 'orange'])('Oklch holds the %s locus within 7 degrees', (name) => {
    expect(spread(CONSTANT_HUES[name].map((xyz) => oklch(xyz)[2]))).toBeLessThan(7)
  })
})
