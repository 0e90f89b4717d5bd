/** A plane shifted and scaled in place to mean 0 and standard deviation `deviation`. */
export function standardised(plane: Float32Array, deviation = 1): Float32Array {
  let sum = 0
  let squares = 0
  for (let i = 0; i < plane.length; i++) {
    sum += plane[i]
    squares += plane[i] * plane[i]
  }
  const mean = sum / plane.length
  const scale = deviation / Math.sqrt(Math.max(squares / plane.length - mean * mean, 1e-30))
  for (let i = 0; i < plane.length; i++) plane[i] = (plane[i] - mean) * scale
  return plane
}
