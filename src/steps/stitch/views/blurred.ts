/**
 * A plane blurred by nearly a Gaussian: three running means one after the other, weights shared out among what the
 * picture holds at its borders.
 * @param sigmaPx standard deviation in pixels
 * Source: W. M. Wells, "Efficient synthesis of Gaussian filters by cascaded uniform filters", IEEE Trans. PAMI 8(2),
 * 1986, pp. 234-239 (method; from memory).
 */
export function blurred(plane: Float32Array, width: number, height: number, sigmaPx: number): Float32Array {
  const from = plane.slice()
  const to = new Float32Array(plane.length)
  for (const radius of radii(sigmaPx)) {
    if (radius === 0) continue
    meanRows(from, to, width, height, radius)
    meanColumns(to, from, width, height, radius)
  }
  return from
}

/** Radii of three running means whose variances (n^2 - 1) / 12 sum to sigma^2 as nearly as whole pixels allow. */
function radii(sigma: number): number[] {
  const ideal = Math.sqrt(4 * sigma * sigma + 1)
  const low = Math.max(0, Math.floor((ideal - 1) / 2))
  const variance = (radius: number) => ((2 * radius + 1) ** 2 - 1) / 12
  const wide = Math.round((sigma * sigma - 3 * variance(low)) / (variance(low + 1) - variance(low)))
  return [0, 1, 2].map((i) => (i < wide ? low + 1 : low))
}

function meanRows(from: Float32Array, to: Float32Array, width: number, height: number, radius: number): void {
  for (let y = 0; y < height; y++) {
    const row = y * width
    let sum = 0
    let count = 0
    for (let x = 0; x < Math.min(radius, width); x++, count++) sum += from[row + x]
    for (let x = 0; x < width; x++) {
      if (x + radius < width) {
        sum += from[row + x + radius]
        count++
      }
      if (x - radius - 1 >= 0) {
        sum -= from[row + x - radius - 1]
        count--
      }
      to[row + x] = sum / count
    }
  }
}

function meanColumns(
  from: Float32Array,
  to: Float32Array,
  width: number,
  height: number,
  radius: number,
): void {
  const sums = new Float64Array(width)
  let count = 0
  const add = (y: number, sign: number) => {
    const row = y * width
    for (let x = 0; x < width; x++) sums[x] += sign * from[row + x]
    count += sign
  }
  for (let y = 0; y < Math.min(radius, height); y++) add(y, 1)
  for (let y = 0; y < height; y++) {
    if (y + radius < height) add(y + radius, 1)
    if (y - radius - 1 >= 0) add(y - radius - 1, -1)
    const row = y * width
    for (let x = 0; x < width; x++) to[row + x] = sums[x] / count
  }
}
