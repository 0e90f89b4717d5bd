/** A rising curve from encoded values to places on a grid's axis, both 0..1, and back. */
export interface Shaper {
  apply(encoded: number): number
  invert(place: number): number
}

/** Share of a straight line mixed in, so that the curve rises everywhere and can be turned back. */
const STRAIGHT = 0.002

/**
 * The curve that spaces a grid's nodes evenly in a root of the light a device gives along its grey axis: where each
 * channel's light is the device's curve, what lies between two nodes is then nearly a straight line.
 * @param greyY light of evenly spaced greys, black first
 * @param root 1 = evenly in light, 3 = nearly evenly in lightness
 */
export function shaperOf(greyY: Float32Array, root: number): Shaper {
  const last = greyY.length - 1
  const darkest = Math.min(...greyY)
  const range = Math.max(...greyY) - darkest
  let highest = 0
  const curve = Float64Array.from(greyY, (y, i) => {
    highest = Math.max(highest, range > 0 ? ((y - darkest) / range) ** (1 / root) : i / last)
    return (1 - STRAIGHT) * highest + (STRAIGHT * i) / last
  })
  const [low, high] = [curve[0], curve[last]]
  for (let i = 0; i <= last; i++) curve[i] = (curve[i] - low) / (high - low)
  return {
    apply(encoded) {
      const at = encoded * last
      const i = Math.min(Math.floor(at), last - 1)
      return curve[i] + (curve[i + 1] - curve[i]) * (at - i)
    },
    invert(place) {
      let [from, to] = [0, last]
      while (to - from > 1) {
        const middle = (from + to) >> 1
        if (curve[middle] <= place) from = middle
        else to = middle
      }
      return (from + (place - curve[from]) / (curve[to] - curve[from])) / last
    },
  }
}
