import type { Source } from '../../raster/Source.js'
import type { Tile } from '../../raster/Tile.js'
import type { Fit } from './fit/Fit.js'

/** A source with a fit applied to every pixel. */
export function correctedSource(source: Source, { rung, coefficients }: Fit): Source {
  const applyTo =
    rung === 'root-polynomial-3' ? applyDegree3 : rung === 'root-polynomial' ? applyDegree2 : applyMatrix
  return {
    width: source.width,
    height: source.height,
    region(rect) {
      const tile = source.region(rect)
      applyTo(tile.planes, coefficients)
      return tile
    },
  }
}

function applyMatrix([red, green, blue]: Tile['planes'], m: readonly number[]): void {
  const [a, b, c, d, e, f, g, h, i] = m
  for (let p = 0; p < red.length; p++) {
    const x = red[p]
    const y = green[p]
    const z = blue[p]
    red[p] = a * x + b * y + c * z
    green[p] = d * x + e * y + f * z
    blue[p] = g * x + h * y + i * z
  }
}

/** The terms as in fit/terms.ts, written out: no array a pixel. */
function applyDegree2([red, green, blue]: Tile['planes'], coefficients: readonly number[]): void {
  const m = Float64Array.from(coefficients)
  for (let p = 0; p < red.length; p++) {
    const x = red[p]
    const y = green[p]
    const z = blue[p]
    const r = x > 0 ? Math.sqrt(x) : 0
    const s = y > 0 ? Math.sqrt(y) : 0
    const t = z > 0 ? Math.sqrt(z) : 0
    const rs = r * s
    const st = s * t
    const rt = r * t
    red[p] = m[0] * x + m[1] * y + m[2] * z + m[3] * rs + m[4] * st + m[5] * rt
    green[p] = m[6] * x + m[7] * y + m[8] * z + m[9] * rs + m[10] * st + m[11] * rt
    blue[p] = m[12] * x + m[13] * y + m[14] * z + m[15] * rs + m[16] * st + m[17] * rt
  }
}

function applyDegree3([red, green, blue]: Tile['planes'], coefficients: readonly number[]): void {
  const m = Float64Array.from(coefficients)
  const terms = new Float64Array(13)
  for (let p = 0; p < red.length; p++) {
    terms[0] = red[p]
    terms[1] = green[p]
    terms[2] = blue[p]
    const x = Math.max(0, red[p])
    const y = Math.max(0, green[p])
    const z = Math.max(0, blue[p])
    terms[3] = Math.sqrt(x * y)
    terms[4] = Math.sqrt(y * z)
    terms[5] = Math.sqrt(x * z)
    const r = Math.cbrt(x)
    const s = Math.cbrt(y)
    const t = Math.cbrt(z)
    terms[6] = r * s * s
    terms[7] = s * t * t
    terms[8] = r * t * t
    terms[9] = s * r * r
    terms[10] = t * s * s
    terms[11] = t * r * r
    terms[12] = r * s * t
    let [a, b, c] = [0, 0, 0]
    for (let k = 0; k < 13; k++) {
      a += m[k] * terms[k]
      b += m[13 + k] * terms[k]
      c += m[26 + k] * terms[k]
    }
    red[p] = a
    green[p] = b
    blue[p] = c
  }
}
