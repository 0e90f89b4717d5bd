import { blurred } from '../../../raster/blurred.js'
import { sineWindow } from '../../../raster/fft/sineWindow.js'
import type { WindowPlanes } from '../refine/readWindows.js'
import { highlights } from './highlights.js'
import { lampAxis } from './lampAxis.js'
import { type Glints, PLAIN, type ReliefModel } from './ReliefModel.js'
import { crosswiseGain, crosswiseWindows, lightOf, slopesAlong } from './slopes.js'

export const LEARN_PX = 64
/** Pixels at a window's border that are only looked at from further inside. */
export const BORDER_PX = 8
/** What changes more slowly is paint or falloff, not the relief's own square. */
const SLOW_PX = 3
/** Slopes below this are free of highlights. */
const GENTLE = 0.1
/** The curvature counts once it is so many times its standard error, and up to this may be a curvature badly measured. */
const SURE = 4
const MOST_CURVATURE = 3
/** Lambert's law gives 1 / (2 (1 - m)) with a share m of the light from all sides: this with 3/8. More is not believed. */
const LAMBERTS_CURVATURE = 0.8
/** Standard error of the curvature's crosswise part up to which slopes across the lamp are worth concluding. */
const CROSSWISE_ERROR = 0.04
/** And so much of the power of those along it they must have: lines across the lamp have none but noise. */
const CROSSWISE_POWER = 0.3
/** Highlights are looked for where so few slopes in a thousand are beyond this. */
const STEEP = 0.15
const STEEP_SHARE = 0.001
/** Peaks as shares of the windows' light, slopes and widths that are tried. */
const PEAKS = [0.1, 0.2, 0.3, 0.45, 0.6]
const SLOPES = [0.22, 0.26, 0.3, 0.34, 0.4]
const WIDTHS = [0.05, 0.065, 0.08, 0.1]
/** A residual of this size (of log light) is where doubt begins. */
const DOUBT = 0.012

/**
 * Learns from even places of a turned pair how its sheet shades: how much light slopes cost both, and its highlights.
 * What changes with colour is paint and is left out of the fit; so heavy pigment in steep valleys is not taken for shading.
 * @param windows both captures' light on 64 x 64 pixels, at one exposure; those that hold least but relief
 */
export function learnRelief(windows: readonly [WindowPlanes, WindowPlanes][]): ReliefModel {
  if (windows.length < 3) return PLAIN
  const lights = windows.map(([a, b]) => [lightOf(a), lightOf(b)] as const)
  const along = lights.map(([a, b]) => slopesAlong(a, b))
  const lampAxisDeg = lampAxis(along)
  const across = along.map((slopes) => acrossIn(slopes, lampAxisDeg))
  const places = windows.map(([a, b], i) => new Place(a, b, along[i]))
  const log = lights.map(([a, b]) => a.map((value, i) => Math.log((value + b[i]) / 2)))
  const gentle = along.map((slopes) => slopes.map((s) => Math.min(s * s, GENTLE * GENTLE)))
  const crossing = across.map((slopes) => slopes.map((t) => Math.min(t * t, 4 * GENTLE * GENTLE)))
  const fit = fitTwo(places, log, gentle, crossing)
  const crosswise =
    squares(across) > CROSSWISE_POWER * squares(along) &&
    fit.errors[1] < CROSSWISE_ERROR &&
    fit.values[1] > SURE * fit.errors[1] &&
    fit.values[1] < MOST_CURVATURE
  const alone = crosswise ? fit : fitTwo(places, log, gentle, undefined)
  const [value, error] = [alone.values[crosswise ? 1 : 0], alone.errors[crosswise ? 1 : 0]]
  const curvature = value > SURE * error && value < MOST_CURVATURE ? Math.min(value, LAMBERTS_CURVATURE) : 0
  const sides = { lights, along, across: crosswise ? across : undefined }
  const glints = fitGlints(places, sides, curvature)
  return {
    lampAxisDeg,
    curvature,
    crosswise: crosswise && curvature > 0,
    ...(glints ? { glints } : {}),
  }
}

const squares = (planes: readonly Float32Array[]): number =>
  planes.reduce((total, plane) => total + inside(plane).reduce((sum, value) => sum + value * value, 0), 0)

/** Slopes across the lamp on a window of `LEARN_PX`, good `BORDER_PX` inside its border. */
export function acrossIn(slopes: Float32Array, axisDeg: number): Float32Array {
  const [re, im] = [slopes.slice(), new Float32Array(slopes.length)]
  const window = sineWindow(LEARN_PX)
  crosswiseWindows(re, im, LEARN_PX, window, crosswiseGain(LEARN_PX, axisDeg))
  // Weighed twice by the window, but alone: what is inside is brought back to its size.
  return re.map((value, i) => value / (window[i % LEARN_PX] * window[Math.floor(i / LEARN_PX)]) ** 2)
}

/** A window's inside: what of a plane is fast and does not follow the colours. */
class Place {
  private readonly colours: [Float64Array, Float64Array]
  private readonly inverse: [number, number, number]
  private readonly calm: boolean[]

  constructor(a: WindowPlanes, b: WindowPlanes, along: Float32Array) {
    const logs = a.map((plane, c) =>
      plane.map((value, i) => Math.log(Math.max(0.001, (value + b[c][i]) / 2))),
    )
    const ratio = (c: number) => inside(fast(logs[c].map((value, i) => value - logs[1][i])))
    this.colours = [ratio(0), ratio(2)]
    this.calm = [...inside(along)].map((s) => Math.abs(s) < GENTLE)
    const [u, v] = this.colours
    const [uu, uv, vv] = [this.product(u, u) + 1e-9, this.product(u, v), this.product(v, v) + 1e-9]
    const determinant = uu * vv - uv * uv
    this.inverse = [vv / determinant, -uv / determinant, uu / determinant]
  }

  private product(p: Float64Array, q: Float64Array): number {
    let sum = 0
    for (let i = 0; i < p.length; i++) if (this.calm[i]) sum += p[i] * q[i]
    return sum
  }

  rest(plane: Float32Array): Float64Array {
    const values = inside(fast(plane))
    const [u, v] = this.colours
    const [pu, pv] = [this.product(values, u), this.product(values, v)]
    const [x, y] = [this.inverse[0] * pu + this.inverse[1] * pv, this.inverse[1] * pu + this.inverse[2] * pv]
    return values.map((value, i) => value - x * u[i] - y * v[i])
  }

  isCalm = (i: number) => this.calm[i]
}

function fast(plane: Float32Array): Float32Array {
  const slow = blurred(plane, LEARN_PX, LEARN_PX, SLOW_PX)
  return plane.map((value, i) => value - slow[i])
}

function inside(plane: Float32Array): Float64Array {
  const side = LEARN_PX - 2 * BORDER_PX
  const out = new Float64Array(side * side)
  for (let j = 0; j < side; j++) {
    for (let i = 0; i < side; i++) out[j * side + i] = plane[(j + BORDER_PX) * LEARN_PX + i + BORDER_PX]
  }
  return out
}

/** By how much log light falls with each of one or two planes, where slopes are gentle: robust least squares. */
function fitTwo(
  places: readonly Place[],
  log: readonly Float32Array[],
  first: readonly Float32Array[],
  second: readonly Float32Array[] | undefined,
): { values: [number, number]; errors: [number, number] } {
  const rows: [y: number, p: number, q: number][] = []
  for (const [k, place] of places.entries()) {
    const [y, p] = [place.rest(log[k]), place.rest(first[k])]
    const q = second && place.rest(second[k])
    for (let i = 0; i < y.length; i++) if (place.isCalm(i)) rows.push([y[i], p[i], q ? q[i] : 0])
  }
  let weights = new Float64Array(rows.length).fill(1)
  let values: [number, number] = [0, 0]
  let errors: [number, number] = [Infinity, Infinity]
  for (let iteration = 0; iteration < 5; iteration++) {
    let [pp, pq, qq, yp, yq] = [1e-9, 0, 1e-9, 0, 0]
    for (const [i, [y, p, q]] of rows.entries()) {
      const w = weights[i]
      pp += w * p * p
      pq += w * p * q
      qq += w * q * q
      yp += w * y * p
      yq += w * y * q
    }
    const determinant = pp * qq - pq * pq
    values = [(-qq * yp + pq * yq) / determinant, (pq * yp - pp * yq) / determinant]
    const left = rows.map(([y, p, q]) => Math.abs(y + values[0] * p + values[1] * q))
    const sigma = Math.max(1e-5, 1.4826 * Float64Array.from(left).sort()[left.length >> 1])
    weights = Float64Array.from(left, (value) => 1 / (1 + (value / (4 * sigma)) ** 2))
    errors = [sigma * Math.sqrt(qq / determinant), sigma * Math.sqrt(pp / determinant)]
  }
  return { values, errors }
}

interface Sides {
  lights: readonly (readonly [Float32Array, Float32Array])[]
  along: readonly Float32Array[]
  across: readonly Float32Array[] | undefined
}

/** The highlights that leave least, of those tried; undefined where none leave less. */
function fitGlints(places: readonly Place[], sides: Sides, curvature: number): Glints | undefined {
  const { lights, along } = sides
  let [steep, count] = [0, 0]
  for (const slopes of along) {
    for (const s of slopes) if (Math.abs(s) > STEEP) steep++
    count += slopes.length
  }
  if (steep < STEEP_SHARE * count) return undefined
  const levels = lights
    .map(([a]) => a.reduce((sum, value) => sum + value, 0) / a.length)
    .sort((p, q) => p - q)
  const light = levels[levels.length >> 1]
  let best: Glints | undefined
  let least = costOf(places, sides, curvature, undefined)
  for (const share of PEAKS) {
    for (const slope of SLOPES) {
      for (const width of WIDTHS) {
        const glints = { peak: share * light, slope, width }
        const cost = costOf(places, sides, curvature, glints)
        if (cost < least) [least, best] = [cost, glints]
      }
    }
  }
  return best
}

function costOf(
  places: readonly Place[],
  { lights, across }: Sides,
  curvature: number,
  glints: Glints | undefined,
): number {
  let cost = 0
  for (const [k, place] of places.entries()) {
    const log = evened(...lights[k], across?.[k], curvature, glints)
    for (const value of place.rest(log)) cost += Math.log1p((value / DOUBT) ** 2)
  }
  return cost
}

/** Logarithm of two lightings' light, highlights and what slopes cost taken away. */
function evened(
  a: Float32Array,
  b: Float32Array,
  across: Float32Array | undefined,
  curvature: number,
  glints: Glints | undefined,
): Float32Array {
  const off = glints && highlights([a, a, a], [b, b, b], across, glints, undefined)
  return a.map((value, i) => {
    const light = off ? off[i] : 0
    const sum = value + b[i] - Math.abs(light)
    const s = (value - b[i] - light) / sum
    const t = across ? across[i] : 0
    return Math.log(Math.max(0.001, sum / (2 * Math.max(0.6, 1 - curvature * (s * s + t * t)))))
  })
}

/**
 * Mean squares of a window's fast log light in each capture and in both, combined by a model, and their mean product;
 * what follows the colours is paint and does not count.
 */
export function powersOf([a, b]: [WindowPlanes, WindowPlanes], model: ReliefModel) {
  const [one, other] = [lightOf(a), lightOf(b)]
  const across = model.crosswise ? acrossIn(slopesAlong(one, other), model.lampAxisDeg) : undefined
  const place = new Place(a, b, slopesAlong(one, other))
  const relief = (log: Float32Array) => place.rest(log)
  const [first, second] = [relief(one.map(Math.log)), relief(other.map(Math.log))]
  const both = relief(evened(one, other, across, model.curvature, model.glints))
  const mean = (p: Float64Array, q: Float64Array) =>
    p.reduce((sum, value, i) => sum + value * q[i], 0) / p.length
  return {
    ...{ first: mean(first, first), second: mean(second, second), both: mean(both, both) },
    cross: mean(first, second),
    /** How uneven the plain mean is, highlights counting no more than other places. */
    unevenness: relief(one.map((value, i) => Math.log((value + other[i]) / 2))).reduce(
      (sum, value) => sum + Math.min(Math.abs(value), 0.02),
      0,
    ),
  }
}
