import { emptyTile } from '../../raster/Tile.js'
import { curveTable } from '../curves/curveTable.js'
import { decodeGridRow } from '../decode/decodeGridRow.js'
import { deltaE2000 } from '../deltaE2000.js'
import type { InputTransform } from '../InputTransform.js'
import { xyzD50ToLab } from '../lab.js'
import { apply3, type Vector3 } from '../matrix3.js'
import { WORKING_TO_XYZ_D50, XYZ_D50_TO_WORKING } from '../working.js'
import { lcmsToXyz } from './lcmsToXyz.js'
import type { Profile } from './readProfile.js'
import { type Shaper, shaperOf } from './shaperOf.js'

type GridTransform = InputTransform & { kind: 'grid' }
type ToXyz = (encoded: Float32Array) => Float32Array

/** Nodes a side, tried from the smallest; 65 nodes take 3.3 MB. */
const SIZES = [33, 49, 65]
/** Roots of the grey axis's light that the nodes are spaced evenly in: light itself, and closer to lightness. */
const ROOTS = [1, 2, 3]
/** Good enough to try no larger grid, in mean CIEDE2000. */
const AIM_DELTA_E = 0.03
/** Colours the grid is held against, none of which is a node. */
const CHECKS = 2048

/**
 * A profile's tables as a grid of working light, sampled once through Little CMS. Node spacing and size are those with
 * the smallest mean CIEDE2000 on colours between the nodes.
 * @throws RequestError where the tables cannot be used
 */
export function sampledGrid(profile: Profile): Promise<InputTransform> {
  const channels = profile.colourSpace === 'GRAY' ? 1 : 3
  return lcmsToXyz(profile, (channelsToXyz) => {
    const toXyz: ToXyz =
      channels === 3 ? channelsToXyz : (rgb) => channelsToXyz(rgb.filter((_, i) => i % 3 === 1))
    const checks = checkColours()
    const wanted = labsOf(toXyz(Float32Array.from(checks, (code) => code / 65535)))
    let best: { transform: GridTransform; error: number } | undefined
    for (const size of SIZES) {
      for (const root of ROOTS) {
        const transform = gridOf(toXyz, shaperOf(greyAxis(toXyz), root), size)
        const error = meanError(transform, checks, wanted)
        if (!best || error < best.error) best = { transform, error }
      }
      if (best!.error <= AIM_DELTA_E) break
    }
    return best!.transform
  })
}

/** Y of 1025 greys. */
function greyAxis(toXyz: ToXyz): Float32Array {
  const greys = Float32Array.from({ length: 1025 * 3 }, (_, i) => Math.floor(i / 3) / 1024)
  return toXyz(greys).filter((_, i) => i % 3 === 1)
}

function gridOf(toXyz: ToXyz, shaper: Shaper, size: number): GridTransform {
  const places = Float32Array.from({ length: size }, (_, i) => shaper.invert(i / (size - 1)))
  const nodes = new Float32Array(size ** 3 * 3)
  let at = 0
  for (const r of places) {
    for (const g of places) {
      for (const b of places) {
        nodes[at++] = r
        nodes[at++] = g
        nodes[at++] = b
      }
    }
  }
  const xyz = toXyz(nodes)
  const grid = new Float32Array(new SharedArrayBuffer(xyz.byteLength))
  for (let i = 0; i < xyz.length; i += 3) {
    grid.set(apply3(XYZ_D50_TO_WORKING, [xyz[i], xyz[i + 1], xyz[i + 2]]), i)
  }
  const curve = curveTable(shaper.apply)
  return { kind: 'grid', curves: [curve, curve, curve], size, grid }
}

/** Codes spread evenly over the cube: the additive recurrence of the plastic number's relative in three dimensions. */
function checkColours(): Uint16Array {
  const phi = 1.2207440846057596
  return Uint16Array.from({ length: CHECKS * 3 }, (_, i) => {
    const n = Math.floor(i / 3) + 1
    return Math.floor(((0.5 + n / phi ** ((i % 3) + 1)) % 1) * 65536)
  })
}

function labsOf(xyz: Float32Array): Vector3[] {
  return Array.from({ length: xyz.length / 3 }, (_, i) =>
    xyzD50ToLab([xyz[3 * i], xyz[3 * i + 1], xyz[3 * i + 2]]),
  )
}

function meanError(transform: GridTransform, codes: Uint16Array, wanted: readonly Vector3[]): number {
  const { planes } = emptyTile({ x: 0, y: 0, width: wanted.length, height: 1 })
  decodeGridRow(codes, 0, transform, planes, 0, wanted.length)
  const [r, g, b] = planes
  const sum = wanted.reduce((total, lab, i) => {
    const got = xyzD50ToLab(apply3(WORKING_TO_XYZ_D50, [r[i], g[i], b[i]]))
    return total + deltaE2000(lab, got)
  }, 0)
  return sum / wanted.length
}
