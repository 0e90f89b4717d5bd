/**
 * Several views of one board laid upon each other: each brought to the first one's exposure, then the median of every
 * pixel, channel by channel. What lay in one place in one view only (dust, a scratch, a pencil mark on a board that was
 * moved in between) is gone.
 * @param views planes of each view, black taken off
 * @returns the planes, and how far the view that differs most is from the first: the third quartile of their difference
 * in green, so that marks do not count; percent
 */
export function overlaid(views: readonly (readonly Float32Array[])[]): {
  planes: Float32Array[]
  differPercent: number
} {
  if (views.length === 1) return { planes: [...views[0]], differPercent: 0 }
  const scaled = views.map((planes) =>
    planes.map((plane, c) => {
      const scale = exposureBetween(plane, views[0][c])
      return plane.map((value) => value * scale)
    }),
  )
  const stack = new Float64Array(views.length)
  const planes = views[0].map((first, c) => {
    const out = new Float32Array(first.length)
    for (let p = 0; p < out.length; p++) {
      for (let k = 0; k < stack.length; k++) stack[k] = scaled[k][c][p]
      stack.sort()
      out[p] = (stack[(stack.length - 1) >> 1] + stack[stack.length >> 1]) / 2
    }
    return out
  })
  const differ = scaled.slice(1).map(([, green]) => {
    const ratios = green.map((value, p) => Math.abs(value / scaled[0][1][p] - 1)).sort()
    return ratios[Math.floor(0.75 * (ratios.length - 1))]
  })
  return { planes, differPercent: 100 * Math.max(...differ) }
}

/** What brings `plane` to the exposure of `first`: the median of their ratios, so that marks do not count. */
function exposureBetween(plane: Float32Array, first: Float32Array): number {
  const ratios = first.map((value, p) => (plane[p] > 0 ? value / plane[p] : Number.POSITIVE_INFINITY)).sort()
  const middle = ratios[ratios.length >> 1]
  return Number.isFinite(middle) && middle > 0 ? middle : 1
}
