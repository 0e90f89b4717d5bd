/** Values over a picture, one a block. */
export interface Blocks {
  values: Float64Array
  width: number
  height: number
}

/** How far a node looks, in distances between nodes. */
const REACH_NODES = 2.2

/** Rounds of reweighting: after the second, dust has no weight left. */
const ROUNDS = 4

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
  const reachX = (REACH_NODES * blocks.width) / (columns - 1)
  const reachY = (REACH_NODES * blocks.height) / (rows - 1)
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) {
      const x = (i / (columns - 1)) * blocks.width - 0.5
      const y = (j / (rows - 1)) * blocks.height - 0.5
      surface[j * columns + i] = valueAt(blocks, x, y, reachX, reachY)
    }
  }
  return surface
}

function valueAt(
  { values, width, height }: Blocks,
  x: number,
  y: number,
  reachX: number,
  reachY: number,
): number {
  const us: number[] = []
  const vs: number[] = []
  const zs: number[] = []
  const near: number[] = []
  for (let row = Math.max(0, Math.ceil(y - reachY)); row <= Math.min(height - 1, y + reachY); row++) {
    for (
      let column = Math.max(0, Math.ceil(x - reachX));
      column <= Math.min(width - 1, x + reachX);
      column++
    ) {
      const u = (column - x) / reachX
      const v = (row - y) / reachY
      us.push(u)
      vs.push(v)
      zs.push(values[row * width + column])
      near.push((1 - Math.abs(u) ** 3) ** 3 * (1 - Math.abs(v) ** 3) ** 3 + 1e-6)
    }
  }
  // The first guess is flat: the median, which half the blocks may be wrong about.
  let centre = medianOf(zs)
  let fitted = zs.map(() => centre)
  for (let round = 0; round < ROUNDS; round++) {
    const deviations = zs.map((z, k) => Math.abs(z - fitted[k]))
    const spread = round === 0 ? Number.POSITIVE_INFINITY : 6 * medianOf(deviations) + 1e-9 * Math.abs(centre)
    const weights = near.map((w, k) => {
      const t = deviations[k] / spread
      return t < 1 ? w * (1 - t * t) ** 2 : 0
    })
    const surface = quadratic(us, vs, zs, weights)
    if (!surface) break
    centre = surface[0]
    fitted = us.map((u, k) => {
      const v = vs[k]
      return (
        surface[0] +
        surface[1] * u +
        surface[2] * v +
        surface[3] * u * u +
        surface[4] * u * v +
        surface[5] * v * v
      )
    })
  }
  return centre
}

/** Weighted least squares of a surface of second degree, by Cholesky's method; undefined where it is not fixed. */
function quadratic(us: number[], vs: number[], zs: number[], weights: number[]): Float64Array | undefined {
  const a = new Float64Array(TERMS * TERMS)
  const b = new Float64Array(TERMS)
  us.forEach((u, k) => {
    const v = vs[k]
    const row = [1, u, v, u * u, u * v, v * v]
    for (let i = 0; i < TERMS; i++) {
      const w = weights[k] * row[i]
      for (let j = 0; j <= i; j++) a[i * TERMS + j] += w * row[j]
      b[i] += w * zs[k]
    }
  })
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

function medianOf(values: readonly number[]): number {
  const sorted = Float64Array.from(values).sort()
  return sorted[sorted.length >> 1]
}
