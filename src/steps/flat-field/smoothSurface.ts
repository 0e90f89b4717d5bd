/** Values over a picture, one a block. */
export interface Blocks {
  values: Float64Array
  width: number
  height: number
  /** The picture's size in blocks: the last block of a row or column may be partial. */
  extentX: number
  extentY: number
}

/** How far a node looks, in distances between nodes: lamps change slowly, and a wide look quiets the noise. */
const REACH_NODES = 3.2

/** Rounds of reweighting: after the second, dust has no weight left. */
const ROUNDS = 3

/** Terms of the surface about a node: 1, u, v, u², uv, v². */
const TERMS = 6

/**
 * A smooth surface through block values, at the nodes of a grid from edge to edge: about each node a surface of second
 * degree is fitted to the blocks around it, near ones weighing more (tricube), and blocks that stand out (dust, a
 * pencil mark) weighing nothing (biweight on the median absolute deviation). It follows a slope up to the picture's
 * edge without bending, which averaging would not.
 * Source: Cleveland 1979, "Robust locally weighted regression and smoothing scatterplots",
 * doi:10.1080/01621459.1979.10481038.
 * @returns `columns * rows` values
 */
export function smoothSurface(blocks: Blocks, columns: number, rows: number): Float64Array {
  const surface = new Float64Array(columns * rows)
  const reachX = (REACH_NODES * blocks.extentX) / (columns - 1)
  const reachY = (REACH_NODES * blocks.extentY) / (rows - 1)
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) {
      const x = (i / (columns - 1)) * blocks.extentX - 0.5
      const y = (j / (rows - 1)) * blocks.extentY - 0.5
      surface[j * columns + i] = valueAt(windowAbout(blocks, x, y, reachX, reachY))
    }
  }
  return surface
}

/** The blocks around a node: places in units of the reach, values, and weights by nearness. */
interface Window {
  u: Float64Array
  v: Float64Array
  value: Float64Array
  near: Float64Array
}

function windowAbout(
  { values, width, height, extentX, extentY }: Blocks,
  x: number,
  y: number,
  reachX: number,
  reachY: number,
): Window {
  const left = Math.max(0, Math.ceil(x - reachX))
  const right = Math.min(width - 1, Math.floor(x + reachX))
  const top = Math.max(0, Math.ceil(y - reachY))
  const bottom = Math.min(height - 1, Math.floor(y + reachY))
  const n = (right - left + 1) * (bottom - top + 1)
  const [u, v, value, near] = [0, 1, 2, 3].map(() => new Float64Array(n))
  let k = 0
  for (let row = top; row <= bottom; row++) {
    for (let column = left; column <= right; column++, k++) {
      u[k] = (middle(column, extentX) - x) / reachX
      v[k] = (middle(row, extentY) - y) / reachY
      value[k] = values[row * width + column]
      near[k] = (1 - Math.abs(u[k]) ** 3) ** 3 * (1 - Math.abs(v[k]) ** 3) ** 3 + 1e-6
    }
  }
  return { u, v, value, near }
}

/** Where a block's middle lies, whole blocks having theirs at whole numbers. */
const middle = (index: number, extent: number) => index + (Math.min(1, extent - index) - 1) / 2

function valueAt({ u, v, value, near }: Window): number {
  const deviations = new Float64Array(value.length)
  const weights = Float64Array.from(near)
  let centre = medianOf(value)
  for (let round = 0; round < ROUNDS; round++) {
    const s = quadratic(u, v, value, weights)
    if (!s) break
    centre = s[0]
    for (let k = 0; k < value.length; k++) {
      const there =
        s[0] + s[1] * u[k] + s[2] * v[k] + s[3] * u[k] * u[k] + s[4] * u[k] * v[k] + s[5] * v[k] * v[k]
      deviations[k] = Math.abs(value[k] - there)
    }
    const spread = 6 * medianOf(deviations) + 1e-9 * Math.abs(centre)
    for (let k = 0; k < value.length; k++) {
      const t = deviations[k] / spread
      weights[k] = t < 1 ? near[k] * (1 - t * t) ** 2 : 0
    }
  }
  return centre
}

/** Weighted least squares of a surface of second degree, by Cholesky's method; undefined where it is not fixed. */
function quadratic(
  us: Float64Array,
  vs: Float64Array,
  values: Float64Array,
  weights: Float64Array,
): Float64Array | undefined {
  const a = new Float64Array(TERMS * TERMS)
  const b = new Float64Array(TERMS)
  const row = new Float64Array(TERMS)
  row[0] = 1
  for (let k = 0; k < us.length; k++) {
    if (weights[k] === 0) continue
    row[1] = us[k]
    row[2] = vs[k]
    row[3] = us[k] * us[k]
    row[4] = us[k] * vs[k]
    row[5] = vs[k] * vs[k]
    for (let i = 0; i < TERMS; i++) {
      const w = weights[k] * row[i]
      for (let j = 0; j <= i; j++) a[i * TERMS + j] += w * row[j]
      b[i] += w * values[k]
    }
  }
  for (let i = 0; i < TERMS; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = a[i * TERMS + j]
      for (let k = 0; k < j; k++) sum -= a[i * TERMS + k] * a[j * TERMS + k]
      if (i === j) {
        if (!(sum > 1e-12)) return undefined
        a[i * TERMS + i] = Math.sqrt(sum)
      } else a[i * TERMS + j] = sum / a[j * TERMS + j]
    }
  }
  for (let i = 0; i < TERMS; i++) {
    for (let k = 0; k < i; k++) b[i] -= a[i * TERMS + k] * b[k]
    b[i] /= a[i * TERMS + i]
  }
  for (let i = TERMS - 1; i >= 0; i--) {
    for (let k = i + 1; k < TERMS; k++) b[i] -= a[k * TERMS + i] * b[k]
    b[i] /= a[i * TERMS + i]
  }
  return b
}

function medianOf(values: Float64Array): number {
  const sorted = Float64Array.from(values).sort()
  return sorted[sorted.length >> 1]
}
