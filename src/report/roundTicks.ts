/** About as many steps as an axis has room for. */
const STEPS = 4

/** The round number (1, 2 or 5 times a power of ten) nearest above a quarter of a range. */
export function roundStep(low: number, high: number): number {
  const rough = (high - low) / STEPS
  const power = 10 ** Math.floor(Math.log10(rough))
  return power * ([1, 2, 5].find((factor) => factor * power >= rough * (1 - 1e-9)) ?? 10)
}

/** Round numbers within a range, evenly spaced, at most five. */
export function roundTicks(low: number, high: number): number[] {
  const step = roundStep(low, high)
  const first = Math.ceil(low / step - 1e-9)
  const last = Math.floor(high / step + 1e-9)
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) =>
    Number(((first + i) * step).toPrecision(12)),
  )
}
