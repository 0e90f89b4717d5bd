import type { Fit } from '../fit/Fit.js'

/**
 * A fit for a capture of another exposure than the chart's: as if its light had been multiplied by `gain` first. Where
 * the numbers run with the light they are multiplied themselves, stray light along with them; where they do not, the
 * light is, once straightened (the terms are homogeneous: it scales through).
 */
export function tiedFit(fit: Fit, gain: number): Fit {
  if (gain === 1) return fit
  const bent = fit.tone.some(({ bend: [a, b] }) => a !== 0 || b !== 0)
  const scaled = (values: readonly number[]) => values.map((value) => value * gain)
  const field = fit.field && { ...fit.field, nodes: scaled(fit.field.nodes) }
  return bent
    ? { ...fit, coefficients: scaled(fit.coefficients), ...(field && { field }) }
    : { ...fit, channels: scaled(fit.channels) }
}
