import { curveTable } from '../curves/curveTable.js'
import type { InputTransform } from '../InputTransform.js'
import { labToXyzD50 } from '../lab.js'
import { apply3, IDENTITY3, multiply3, type Vector3 } from '../matrix3.js'
import type { SpaceName } from '../spaces/SpaceName.js'
import { spaceTransform } from '../spaceTransform.js'
import { WORKING_TO_XYZ_D50, XYZ_D50_TO_WORKING } from '../working.js'
import { type Curve, readCurve } from './readCurve.js'
import { readDescription } from './readDescription.js'
import { type Profile, readProfile, unfitProfile } from './readProfile.js'
import { readXyz } from './readXyz.js'
import { sampledGrid } from './sampledGrid.js'

export interface DescribedTransform {
  transform: InputTransform
  /** What the numbers are taken to mean, in words. */
  description: string
}

/**
 * How the numbers of a capture become working linear light, relative to the medium's white (ICC media-relative
 * colorimetric, no black point compensation).
 * @param profile bytes of an ICC profile, a standard space, or `linear` for numbers that are light already
 * @param label the profile or the picture that carries it, as the person wrote it
 * @throws RequestError for a profile that cannot be used, with what to do
 */
export async function inputTransform(
  profile: Uint8Array | SpaceName | 'linear',
  label: string,
): Promise<DescribedTransform> {
  if (profile === 'linear') {
    return { transform: sameCurve((x) => x), description: 'linear numbers, taken as they are' }
  }
  if (typeof profile === 'string') return { transform: spaceTransform(profile), description: profile }
  const read = readProfile(profile, label)
  const transform = await transformOf(read)
  refuseStrangeWhite(transform, label)
  return { transform, description: readDescription(read) }
}

/**
 * What full numbers may come out as, in light and in each channel against it: wide enough for a camera whose numbers
 * are not white-balanced, far too narrow for a profile in which bytes have changed.
 */
const WHITE_LIGHT = { least: 0.05, most: 20 }
const WHITE_TINT = { least: 0.1, most: 10 }

function refuseStrangeWhite(transform: InputTransform, label: string): void {
  const white =
    transform.kind === 'grid'
      ? [...transform.grid.slice(-3)]
      : apply3(transform.matrix, transform.curves.map((curve) => curve[curve.length - 1]) as Vector3)
  const light = apply3(WORKING_TO_XYZ_D50, white as Vector3)[1]
  const within = (value: number, { least, most }: typeof WHITE_LIGHT) => value >= least && value <= most
  if (within(light, WHITE_LIGHT) && white.every((value) => within(value / light, WHITE_TINT))) return
  throw unfitProfile(
    label,
    'the ICC profile is damaged: what it makes of white is none',
    'red, green and blue near 1 from full numbers',
    white.map((value) => value.toPrecision(3)).join(', '),
  )
}

async function transformOf(profile: Profile): Promise<InputTransform> {
  // A table comes before the matrix (ICC.1:2022, 9.1).
  const hasTable = profile.tags.has('A2B0') || profile.tags.has('A2B1')
  if (hasTable) return sampledGrid(profile)
  return profile.colourSpace === 'GRAY' ? greyTransform(profile) : matrixTransform(profile)
}

/** Columns of the matrix are the colorants under the connection space's D50 (ICC.1:2022, 8.3.3 and F.3). */
function matrixTransform(profile: Profile): InputTransform {
  const [r, g, b] = ['rXYZ', 'gXYZ', 'bXYZ'].map((tag) => readXyz(profile, tag))
  const toXyz = [r[0], g[0], b[0], r[1], g[1], b[1], r[2], g[2], b[2]]
  // Channels whose curves are one element share one table, which stays in the processor's cache.
  const tables = new Map<number | undefined, Float32Array>()
  const curves = ['rTRC', 'gTRC', 'bTRC'].map((tag) => {
    const at = profile.tags.get(tag)?.offset
    const table = tables.get(at) ?? curveTable(readCurve(profile, tag))
    tables.set(at, table)
    return table
  })
  return {
    kind: 'matrix',
    curves: curves as [Float32Array, Float32Array, Float32Array],
    matrix: multiply3(XYZ_D50_TO_WORKING, toXyz),
  }
}

/**
 * Greys are multiples of white: `kTRC` gives their Y, or where the connection space is Lab, their L* (ICC.1:2022,
 * 8.3.4 and F.2).
 */
function greyTransform(profile: Profile): InputTransform {
  const curve = readCurve(profile, 'kTRC')
  return sameCurve(profile.connectionSpace === 'XYZ ' ? curve : (x) => labToXyzD50([100 * curve(x), 0, 0])[1])
}

function sameCurve(curve: Curve): InputTransform {
  const table = curveTable(curve)
  return { kind: 'matrix', curves: [table, table, table], matrix: [...IDENTITY3] }
}
