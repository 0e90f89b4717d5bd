/** Taps each way. */
export const TAPS = 8
/** Pixels from the first tap to the pixel at the whole part of a position. */
export const TAPS_BEFORE = 3
/** Phases between two pixels: a position is rounded to 1/2048 px at most. */
export const PHASES = 1024
/**
 * Shape of the Kaiser window. With 5 every frequency up to 0.3 cycles a pixel passes within 0.5 % at every phase; 4 keeps
 * 5 % more at 0.35 but lifts low frequencies by 1 %, 6 loses 4 % more there (measured; see the test).
 */
const BETA = 5

/**
 * The weights of the eight pixels -3 .. +4 about a position's whole part, for each of `PHASES` + 1 fractions: a sinc under
 * a Kaiser window of half width 4, each row scaled to sum to 1, fraction 0 exactly the pixel itself.
 * Source of the window: J. F. Kaiser, R. W. Schafer, "On the use of the I0-sinh window for spectrum analysis", IEEE
 * Trans. ASSP 28(1), 1980, pp. 105-107, doi:10.1109/TASSP.1980.1163349 (formula from memory).
 */
export function tapTable(): Float32Array {
  const table = new Float32Array((PHASES + 1) * TAPS)
  const row = new Float64Array(TAPS)
  for (let phase = 0; phase <= PHASES; phase++) {
    const fraction = phase / PHASES
    let sum = 0
    for (let k = 0; k < TAPS; k++) sum += row[k] = weight(k - TAPS_BEFORE - fraction)
    for (let k = 0; k < TAPS; k++) table[phase * TAPS + k] = row[k] / sum
  }
  return table
}

function weight(distance: number): number {
  if (distance === 0) return 1
  if (Number.isInteger(distance) || Math.abs(distance) >= TAPS / 2) return 0
  const window = besselI0(BETA * Math.sqrt(1 - (distance / (TAPS / 2)) ** 2)) / besselI0(BETA)
  return (Math.sin(Math.PI * distance) / (Math.PI * distance)) * window
}

/** Modified Bessel function of the first kind, order 0, by its power series. */
function besselI0(x: number): number {
  let term = 1
  let sum = 1
  for (let k = 1; term > 1e-17 * sum; k++) {
    term *= (x / (2 * k)) ** 2
    sum += term
  }
  return sum
}
