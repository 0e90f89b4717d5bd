/** The mean of windows' powers. */
export function meanSpectrum(powers: readonly Float32Array[]): Float32Array {
  const mean = new Float64Array(powers[0].length)
  for (const power of powers) for (let i = 0; i < mean.length; i++) mean[i] += power[i]
  return Float32Array.from(mean, (sum) => sum / powers.length)
}

/** The half with kx = 0..n/2, to four significant digits: what a reading stores. */
export function toHalfPlane(power: Float32Array, n: number): number[] {
  const half: number[] = []
  for (let y = 0; y < n; y++) {
    for (let x = 0; x <= n / 2; x++) half.push(Number(power[y * n + x].toPrecision(4)))
  }
  return half
}

/** The whole plane from its half: a real picture's power at -k equals that at k. */
export function fromHalfPlane(half: readonly number[], n: number): Float32Array {
  const width = n / 2 + 1
  const power = new Float32Array(n * n)
  for (let y = 0; y < n; y++) {
    for (let x = 0; x < n; x++) {
      power[y * n + x] = x < width ? half[y * width + x] : half[((n - y) % n) * width + (n - x)]
    }
  }
  return power
}
