import { sineWindow } from '../../../src/raster/fft/sineWindow.js'
import { mirrored } from '../../../src/raster/padded.js'
import type { Tile } from '../../../src/raster/Tile.js'
import { type ColourNoise, NOISE_FALL, NOISE_WINDOW } from '../../../src/steps/paper-texture/colourNoise.js'
import type { Continuation } from '../../../src/steps/paper-texture/continuation.js'
import { LOG_OFFSET, LUMINANCE } from '../../../src/steps/paper-texture/logLuminance.js'
import type { PaperLook, ReliefFilter } from '../../../src/steps/paper-texture/ReliefFilter.js'
import { fromHalfPlane } from '../../../src/steps/paper-texture/spectrum.js'
import { plainDft2d } from '../../raster/fft/plainDft2d.js'

type Plane = Float64Array
/** How far neighbours lie that a place's common part is taken from. */
const REACH = 12

/**
 * `withoutRelief` of a whole small picture, written plainly: one window at a time, in double precision, transforms by
 * their defining sum.
 */
export function plainFilter(picture: Tile, filter: ReliefFilter): Tile {
  const { width, height } = picture.rect
  const largest = Math.max(...filter.scales.map(({ n }) => n))
  // Windows reach beyond the edge: one for the result, one for the pilot under it and its neighbours, one for the ratios
  // under that. Every grid must meet the picture's corner.
  const edge = 96
  if (edge < 2 * largest + REACH + NOISE_WINDOW)
    throw new RangeError('windows larger than this twin is written for')
  const across = width + 2 * edge
  const down = height + 2 * edge
  const at = (plane: Float32Array) =>
    Float64Array.from({ length: across * down }, (_, i) => {
      const x = mirrored((i % across) - edge, width)
      return plane[mirrored(Math.floor(i / across) - edge, height) * width + x]
    })
  const [r, g, b] = picture.planes.map(at)
  const log = (v: number) => Math.log2(Math.max(v, 0) + LOG_OFFSET)
  const y = r.map((_, i) => log(r[i] * LUMINANCE[0] + g[i] * LUMINANCE[1] + b[i] * LUMINANCE[2]))
  const rg = r.map((_, i) => log(r[i]) - log(g[i]) - filter.tint[0] * y[i])
  const bg = r.map((_, i) => log(b[i]) - log(g[i]) - filter.tint[1] * y[i])
  if (filter.beyond && filter.paper) continued(filter.beyond, filter.paper)

  /** Log luminance beyond the edges foretold from six pixels inside, about the mean of 24, where the ratios are bare. */
  function continued({ across: sideways, down: upright }: Continuation, { red, blue }: PaperLook): void {
    const line = (from: number, by: number, inside: number, beyond: number, weights: Float32Array) => {
      const within = Math.min(24, inside)
      const mean = (plane: Plane) => {
        let sum = 0
        for (let i = 0; i < within; i++) sum += plane[from + i * by]
        return sum / within
      }
      const off = Math.max(Math.abs(mean(rg) - red), Math.abs(mean(bg) - blue))
      const painted = Math.min(Math.max((off - 0.1) / 0.15, 0), 1)
      const own = mean(y)
      for (let o = 0; o < beyond; o++) {
        let value = own
        for (let i = 0; o < 32 && i < 6; i++) value += weights[o * 6 + i] * (y[from + i * by] - own)
        const to = from - (o + 1) * by
        y[to] = painted * y[to] + (1 - painted) * value
      }
    }
    for (let j = edge; j < edge + height; j++) {
      line(j * across + edge, 1, width, edge, sideways)
      line(j * across + edge + width - 1, -1, width, edge, sideways)
    }
    for (let i = 0; i < across; i++) {
      line(edge * across + i, across, height, edge, upright)
      line((edge + height - 1) * across + i, -across, height, edge, upright)
    }
  }

  const cutOf = (n: number) => {
    const w = sineWindow(n as 32)
    return (plane: Plane, x0: number, y0: number) => {
      const part = new Float64Array(n * n)
      let total = 0
      let all = 0
      for (let j = 0; j < n; j++) {
        for (let i = 0; i < n; i++) {
          part[j * n + i] = plane[(y0 + j) * across + x0 + i]
          total += w[j] * w[i] * part[j * n + i]
          all += w[j] * w[i]
        }
      }
      const mean = total / all
      return { mean, values: part.map((v, i) => w[Math.floor(i / n)] * w[i % n] * (v - mean)) }
    }
  }
  const spectrumOf = (n: number) => (values: Plane) => plainDft2d(values, new Float64Array(n * n), n)
  const power = ({ re, im }: { re: Plane; im: Plane }) => re.map((v, i) => v * v + im[i] * im[i])

  const [steadyRed, steadyBlue] = filter.noise ? steadied(filter.noise) : [rg, bg]

  function steadied(noise: ColourNoise): [Plane, Plane] {
    const n = NOISE_WINDOW
    const [cut, spectrum, w] = [cutOf(n), spectrumOf(n), sineWindow(n)]
    const known = [noise.red, noise.blue].map((half) => fromHalfPlane(half, n))
    const sums = [0, 1].map(() => new Float64Array(across * down))
    const weights = new Float64Array(across * down)
    for (let y0 = edge % 8; y0 + n <= down; y0 += 8) {
      for (let x0 = edge % 8; x0 + n <= across; x0 += 8) {
        const light = cut(y, x0, y0).mean
        const parts = [rg, bg].map((plane) => cut(plane, x0, y0))
        const ratios = parts.map(({ mean }, c) => mean + filter.tint[c] * light)
        const sum = LUMINANCE[0] * 2 ** ratios[0] + LUMINANCE[1] + LUMINANCE[2] * 2 ** ratios[1]
        const green = light - Math.log2(sum)
        parts.forEach(({ mean, values }, c) => {
          const scale = 2 ** (-NOISE_FALL * green) + 2 ** (-NOISE_FALL * (green + ratios[c]))
          const whole = spectrum(values)
          const gain = smoothed(
            power(whole).map((v, i) => v / (scale * (known[c][i] + 1e-9))),
            n,
          ).map((v) => Math.max(0, 1 - filter.noiseOver / (v + 1e-12)))
          const back = plainDft2d(
            whole.re.map((v, i) => v * gain[i]),
            whole.im.map((v, i) => v * gain[i]),
            n,
            1,
          ).re
          for (let k = 0; k < n * n; k++) {
            const weight = w[Math.floor(k / n)] * w[k % n]
            const to = (y0 + Math.floor(k / n)) * across + x0 + (k % n)
            sums[c][to] += weight * (back[k] / (n * n) + weight * mean)
            if (c === 0) weights[to] += weight * weight
          }
        })
      }
    }
    return sums.map((sum) => sum.map((v, i) => v / Math.max(weights[i], 1e-20))) as [Plane, Plane]
  }

  const paper = filter.paper ?? { light: 99, red: 0, blue: 0 }
  const paintedShare = (light: number, red: number, blue: number) => {
    const apart = Math.max(Math.abs(red - paper.red), Math.abs(blue - paper.blue), paper.light - light)
    return Math.min(Math.max((apart - 0.1) / 0.15, 0), 1)
  }

  /** Sums over windows of the luminance, and of it without the mixes and means. */
  const stage = (pilot: { light: Plane; common: Plane } | undefined): { light: Plane; rest: Plane } => {
    const sums = new Float64Array(across * down)
    const rests = new Float64Array(across * down)
    const weights = new Float64Array(across * down)
    for (const { n, step, relief } of filter.scales) {
      const [cut, spectrum, w] = [cutOf(n), spectrumOf(n), sineWindow(n)]
      const sum = relief.reduce((p, q) => p + q, 0)
      const floor = (0.02 * sum) / (n * n)
      for (let y0 = edge % step; y0 + n <= down; y0 += step) {
        for (let x0 = edge % step; x0 + n <= across; x0 += step) {
          const own = cut(y, x0, y0)
          const c0 = cut(steadyRed, x0, y0).values
          const c1 = cut(steadyBlue, x0, y0).values
          const [s, s0, s1] = [own.values, c0, c1].map(spectrum)
          const dot = (p: typeof s, q: typeof s) =>
            p.re.reduce((t, v, i) => t + (v * q.re[i] + p.im[i] * q.im[i]) / (relief[i] + floor), 0)
          const a00 = dot(s0, s0) + filter.ridge * n * n
          const a11 = dot(s1, s1) + filter.ridge * n * n
          const a01 = dot(s0, s1)
          const [b0, b1] = [dot(s0, s), dot(s1, s)]
          const determinant = a00 * a11 - a01 * a01
          const p = (a11 * b0 - a01 * b1) / determinant
          const q = (a00 * b1 - a01 * b0) / determinant
          const mix = c0.map((v, i) => p * v + q * c1[i])
          const part = pilot ? cut(pilot.common, x0, y0) : { mean: 0, values: new Float64Array(n * n) }
          const rest = spectrum(own.values.map((v, i) => v - mix[i] - part.values[i]))
          const ratios = (values: Plane) =>
            power(spectrum(values)).map((v, i) => v / (relief[i] + 1e-5 * floor))
          const own2 = smoothed(ratios(own.values.map((v, i) => v - mix[i])), n)
          const t = Math.min(Math.max((Math.max(...own2.filter((_, i) => telling(i, n))) - 4) / 8, 0), 1)
          const means = [cut(steadyRed, x0, y0).mean, cut(steadyBlue, x0, y0).mean]
          const bare = Math.min(1 - t * t * (3 - 2 * t), 1 - 0.7 * paintedShare(own.mean, means[0], means[1]))
          const pilotOver = filter.pilotOver + bare * (filter.pilotBareOver - filter.pilotOver)
          const finalOver = filter.finalOver + bare * (filter.finalBareOver - filter.finalOver)
          const gain = pilot
            ? ratios(cut(pilot.light, x0, y0).values.map((v, i) => v - mix[i] - part.values[i])).map(
                (v) => v / (v + finalOver),
              )
            : own2.map((v) => Math.max(0, 1 - pilotOver / (v + 1e-12)))
          const trust = 1 / (gain.reduce((t, v, i) => t + (v * v * relief[i]) / sum, 0) + filter.trustFloor)
          const back = plainDft2d(
            rest.re.map((v, i) => v * gain[i]),
            rest.im.map((v, i) => v * gain[i]),
            n,
            1,
          ).re
          for (let j = 0; j < n; j++) {
            for (let i = 0; i < n; i++) {
              const k = j * n + i
              const weight = w[j] * w[i]
              const to = (y0 + j) * across + x0 + i
              sums[to] += trust * weight * (back[k] / (n * n) + mix[k] + weight * (own.mean - part.mean))
              rests[to] += (trust * weight * back[k]) / (n * n)
              weights[to] += trust * weight * weight
            }
          }
        }
      }
    }
    const divided = (plane: Plane) => plane.map((v, i) => v / Math.max(weights[i], 1e-20))
    return { light: divided(sums), rest: divided(rests) }
  }

  const pilot = stage(undefined)
  // Where a neighbour would leave the plane nothing is asked of the result.
  const common = pilot.rest.map((_, k) => {
    const [x, j] = [k % across, Math.floor(k / across)]
    if (Math.min(x, j, across - 1 - x, down - 1 - j) < REACH) return 0
    let sum = 0
    let all = 0
    for (let dy = -REACH; dy <= REACH; dy += 2) {
      for (let dx = -REACH; dx <= REACH; dx += 2) {
        if ((dx + dy) % 4 !== 0) continue
        const q = k + dy * across + dx
        const unlike =
          ((steadyRed[q] - steadyRed[k]) ** 2 + (steadyBlue[q] - steadyBlue[k]) ** 2) / 0.05 ** 2 +
          ((pilot.light[q] - pilot.light[k]) / 0.1) ** 2
        const weight = Math.exp(-(dx * dx + dy * dy) / 128) * Math.max(0, 1 - unlike / 16) ** 8
        sum += weight * pilot.rest[q]
        all += weight
      }
    }
    return sum / all
  })
  const towards = pilot.light.map((v, i) => v + filter.towardsCommon * (common[i] - pilot.rest[i]))
  const clean = stage({ light: towards, common }).light.map((v, i) => v + common[i])
  const { tint } = filter
  const out = picture.planes.map((plane) => new Float32Array(plane.length)) as Tile['planes']
  for (let i = 0; i < width * height; i++) {
    const k = (Math.floor(i / width) + edge) * across + (i % width) + edge
    const own = picture.planes.map((plane) => plane[i])
    const painted = paintedShare(clean[k], steadyRed[k], steadyBlue[k])
    const amount = filter.amount * (1 - filter.keptInPaint * painted)
    const change = amount * (clean[k] - y[k])
    const moved = [
      own[0] * 2 ** (amount * (steadyRed[k] - rg[k]) + tint[0] * change),
      own[1],
      own[2] * 2 ** (amount * (steadyBlue[k] - bg[k]) + tint[1] * change),
    ]
    const light = (values: readonly number[]) => values.reduce((t, v, c) => t + LUMINANCE[c] * v, 0)
    const factor = (2 ** change * light(own)) / light(moved)
    moved.forEach((value, c) => {
      out[c][i] = value * factor
    })
  }
  return { rect: picture.rect, planes: out }
}

const telling = (i: number, n: number) =>
  Math.hypot(...[i % n, Math.floor(i / n)].map((k) => Math.min(k, n - k))) > (2.5 * n) / 32

function smoothed(values: Plane, n: number): Plane {
  const weights = [1, 2, 1]
  return values.map((_, i) => {
    let sum = 0
    for (let j = -1; j <= 1; j++) {
      for (let k = -1; k <= 1; k++) {
        const y = (Math.floor(i / n) + j + n) % n
        const x = ((i % n) + k + n) % n
        sum += weights[j + 1] * weights[k + 1] * values[y * n + x]
      }
    }
    return sum / 16
  })
}
