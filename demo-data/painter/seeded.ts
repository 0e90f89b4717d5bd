/** A stream of random numbers that is the same for the same seed on every machine. */
export interface Random {
  /** Uniform in 0..1. */
  next(): number
  /** Uniform between two numbers. */
  between(low: number, high: number): number
  /** About normal, mean 0, deviation 1 (sum of four uniforms; never beyond 3.5). */
  normal(): number
}

/**
 * A seeded stream of random numbers.
 * @param seed any integers; equal lists give equal streams
 * Formula: mulberry32 (T. Ettinger, public domain), its state mixed from the seeds.
 */
export function seeded(...seed: number[]): Random {
  let state = 0x9e3779b9
  for (const part of seed) state = Math.imul(state ^ part, 0x85ebca6b) ^ (state >>> 13)
  const bits = () => {
    state = (state + 0x6d2b79f5) | 0
    let t = Math.imul(state ^ (state >>> 15), 1 | state)
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
    return (t ^ (t >>> 14)) >>> 0
  }
  const next = () => bits() / 4294967296
  return {
    next,
    between: (low, high) => low + (high - low) * next(),
    normal: () => {
      const a = bits()
      const b = bits()
      const sum = (a & 0xffff) + (a >>> 16) + (b & 0xffff) + (b >>> 16)
      return (sum / 65536 - 1.99997) * Math.sqrt(3)
    },
  }
}
