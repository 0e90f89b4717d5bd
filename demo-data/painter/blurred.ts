/**
 * A plane blurred by a Gaussian: exactly where it is narrow, by three running means where it is wide.
 * @param plane `width * height`, not changed; its border values are continued outside
 * @param sigmaPx standard deviation, 0 gives a copy
 */
export function blurred(plane: Float32Array, width: number, height: number, sigmaPx: number): Float32Array {
  const out = plane.slice()
  if (sigmaPx <= 0) return out
  if (sigmaPx < 2.5) {
    const kernel = gaussian(sigmaPx)
    convolveRows(out, width, height, kernel)
    convolveColumns(out, width, height, kernel)
    return out
  }
  for (const radius of boxRadii(sigmaPx)) {
    boxRows(out, width, height, radius)
    boxColumns(out, width, height, radius)
  }
  return out
}

function gaussian(sigma: number): Float64Array {
  const radius = Math.ceil(3.2 * sigma)
  const kernel = Float64Array.from({ length: 2 * radius + 1 }, (_, i) =>
    Math.exp(-((i - radius) ** 2) / (2 * sigma * sigma)),
  )
  const sum = kernel.reduce((a, b) => a + b, 0)
  return kernel.map((v) => v / sum)
}

/** Radii of three boxes whose variances add up as nearly as whole numbers allow. */
function boxRadii(sigma: number): number[] {
  const ideal = Math.sqrt((12 * sigma * sigma) / 3 + 1)
  const low = Math.floor((ideal - 1) / 2)
  const small = 2 * low + 1
  const count = Math.round((12 * sigma * sigma - 3 * small * small - 12 * small - 9) / (-4 * small - 4))
  return [0, 1, 2].map((i) => (i < count ? low : low + 1))
}

function convolveRows(plane: Float32Array, width: number, height: number, kernel: Float64Array): void {
  const radius = (kernel.length - 1) / 2
  const line = new Float64Array(width + 2 * radius)
  for (let y = 0; y < height; y++) {
    const row = plane.subarray(y * width, (y + 1) * width)
    line.fill(row[0], 0, radius)
    line.set(row, radius)
    line.fill(row[width - 1], radius + width)
    for (let x = 0; x < width; x++) {
      let sum = 0
      for (let k = 0; k < kernel.length; k++) sum += kernel[k] * line[x + k]
      row[x] = sum
    }
  }
}

function convolveColumns(plane: Float32Array, width: number, height: number, kernel: Float64Array): void {
  const radius = (kernel.length - 1) / 2
  const count = kernel.length
  // A ring of the original rows around the one being written.
  const ring = Array.from({ length: count }, () => new Float32Array(width))
  const original = (y: number) =>
    plane.subarray(clampRow(y, height) * width, clampRow(y, height) * width + width)
  for (let k = 0; k < count - 1; k++) ring[k].set(original(k - radius))
  const sums = new Float64Array(width)
  for (let y = 0; y < height; y++) {
    const ahead = y + radius
    ring[(y + count - 1) % count].set(ahead < height ? original(ahead) : ring[(y + count - 2) % count])
    sums.fill(0)
    for (let k = 0; k < count; k++) {
      const row = ring[(y + k) % count]
      const weight = kernel[k]
      for (let x = 0; x < width; x++) sums[x] += weight * row[x]
    }
    plane.set(sums, y * width)
  }
}

const clampRow = (y: number, height: number) => (y < 0 ? 0 : y >= height ? height - 1 : y)

function boxRows(plane: Float32Array, width: number, height: number, radius: number): void {
  const line = new Float64Array(width + 2 * radius)
  const size = 2 * radius + 1
  for (let y = 0; y < height; y++) {
    const row = plane.subarray(y * width, (y + 1) * width)
    line.fill(row[0], 0, radius)
    line.set(row, radius)
    line.fill(row[width - 1], radius + width)
    let sum = 0
    for (let k = 0; k < size - 1; k++) sum += line[k]
    for (let x = 0; x < width; x++) {
      sum += line[x + size - 1]
      row[x] = sum / size
      sum -= line[x]
    }
  }
}

function boxColumns(plane: Float32Array, width: number, height: number, radius: number): void {
  const size = 2 * radius + 1
  const source = plane.slice()
  const sums = new Float64Array(width)
  const row = (y: number) => clampRow(y, height) * width
  for (let k = -radius; k < radius; k++) {
    const at = row(k)
    for (let x = 0; x < width; x++) sums[x] += source[at + x]
  }
  for (let y = 0; y < height; y++) {
    const enter = row(y + radius)
    const leave = row(y - radius)
    const out = y * width
    for (let x = 0; x < width; x++) {
      const sum = sums[x] + source[enter + x]
      plane[out + x] = sum / size
      sums[x] = sum - source[leave + x]
    }
  }
}
