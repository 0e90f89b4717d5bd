import type { CaptureConditions } from './CaptureConditions.js'

/** An exposure in words: `1/125 s, f/5.6, ISO 200`; undefined where nothing is said. */
export function describeExposure({ timeS, fNumber, iso }: CaptureConditions = {}): string | undefined {
  const parts = [
    timeS && (timeS < 0.4 ? `1/${round(1 / timeS)} s` : `${round(timeS)} s`),
    fNumber && `f/${round(fNumber)}`,
    iso && `ISO ${round(iso)}`,
  ].filter(Boolean)
  return parts.length > 0 ? parts.join(', ') : undefined
}

const round = (value: number) => Number(value.toPrecision(3))
