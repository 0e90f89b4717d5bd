import type { CaptureConditions } from '../../colour/exposure/CaptureConditions.js'
import type { CaptureInfo } from '../contract.js'

export interface Taken {
  label: string
  conditions?: CaptureConditions
}

/** What changes the light a lens lets through to the corners. */
const OPTICS = { fNumber: 'aperture (f/)', focalMm: 'focal length (mm)', lens: 'lens' } as const
/** What changes a sensor's level without light. */
const SENSOR = { timeS: 'exposure time (s)', iso: 'sensitivity (ISO)' } as const

/**
 * Boards and dark frames whose files say that they were captured with other settings than the captures: a board needs
 * the same optics, a dark frame the same time and sensitivity.
 * @returns warnings; none where files do not say
 */
export function otherSettings(
  boards: readonly Taken[],
  darks: readonly Taken[],
  captures: readonly CaptureInfo[],
): string[] {
  return [
    ...boards.flatMap((board) =>
      differing(board, OPTICS, captures).map(
        (words) =>
          `${board.label}: the board was captured with another ${words}; corners are lit otherwise by it`,
      ),
    ),
    ...darks.flatMap((dark) =>
      differing(dark, SENSOR, captures).map(
        (words) => `${dark.label}: the dark frame was captured with another ${words}; its level is another`,
      ),
    ),
  ]
}

function differing(
  { conditions = {} }: Taken,
  settings: Partial<Record<keyof CaptureConditions, string>>,
  captures: readonly CaptureInfo[],
): string[] {
  return Object.entries(settings).flatMap(([key, words]) => {
    const own = conditions[key as keyof CaptureConditions]
    const other = captures
      .map(({ conditions: theirs }) => theirs?.[key as keyof CaptureConditions])
      .find((value) => value !== undefined && !alike(value, own))
    return own === undefined || other === undefined
      ? []
      : [`${words}: ${said(own)} instead of ${said(other)}`]
  })
}

/** Cameras round what they write. */
const alike = (one: unknown, other: unknown) =>
  typeof one === 'number' && typeof other === 'number' ? Math.abs(one / other - 1) < 0.02 : one === other

const said = (value: unknown) => (typeof value === 'number' ? `${Number(value.toPrecision(3))}` : `${value}`)
