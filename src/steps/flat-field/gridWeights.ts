/** For each pixel along one direction: the first of the four grid nodes it draws on, and their weights. */
export interface GridWeights {
  first: Int32Array
  /** Four a pixel. */
  weights: Float64Array
}

/**
 * Weights that interpolate a grid of `nodes` values, from edge to edge of `length` pixels, smoothly (Catmull-Rom: through
 * the nodes, without kinks; a straight line stays straight up to the edges).
 * Source: Catmull & Rom 1974, "A class of local interpolating splines", doi:10.1016/B978-0-12-079050-0.50020-5.
 * @param nodes at least four
 */
export function gridWeights(length: number, nodes: number): GridWeights {
  const first = new Int32Array(length)
  const weights = new Float64Array(4 * length)
  for (let p = 0; p < length; p++) {
    const at = ((p + 0.5) / length) * (nodes - 1)
    const cell = Math.min(nodes - 2, Math.floor(at))
    const t = at - cell
    const w = [
      ((2 - t) * t - 1) * t * 0.5,
      ((3 * t - 5) * t * t + 2) * 0.5,
      ((4 - 3 * t) * t + 1) * t * 0.5,
      (t - 1) * t * t * 0.5,
    ]
    first[p] = Math.min(nodes - 4, Math.max(0, cell - 1))
    w.forEach((weight, k) => {
      const node = cell - 1 + k
      if (node < 0) {
        // The node before the first goes on in a straight line: 2 n0 - n1.
        weights[4 * p] += 2 * weight
        weights[4 * p + 1] -= weight
      } else if (node >= nodes) {
        weights[4 * p + 3] += 2 * weight
        weights[4 * p + 2] -= weight
      } else weights[4 * p + node - first[p]] += weight
    })
  }
  return { first, weights }
}
