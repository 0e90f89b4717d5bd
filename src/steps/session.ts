import { z } from 'zod'
import { describeExposure } from '../colour/exposure/describeExposure.js'
import { xyzD50ToLab } from '../colour/lab.js'
import { apply3, type Vector3 } from '../colour/matrix3.js'
import { WORKING_TO_XYZ_D50 } from '../colour/working.js'
import { RequestError } from '../errors.js'
import type { CaptureInfo, Neutral } from './contract.js'

/** What of a session a reading depends on, as far as the captures' files say. Plain JSON. */
export const sessionSchema = z.object({
  devices: z.array(z.string()),
  lenses: z.array(z.string()),
  exposures: z.array(z.string()),
  lights: z.array(z.string()),
  profiles: z.array(z.string()),
  /** A neutral surface in the light of the session, as captured: a* and b* under D50 at L* 80. */
  neutral: z.object({ label: z.string(), a: z.number(), b: z.number() }).optional(),
})

export type Session = z.output<typeof sessionSchema>

/** How a reading of an earlier run agrees with this one. */
export interface Reuse {
  /** What differs, in words; used all the same only where the pipeline says so. */
  differs: string[]
  /** What could not be compared because files do not say. */
  unknown: string[]
}

export const reuseSchema = z.object({ differs: z.array(z.string()), unknown: z.array(z.string()) })

/** A neutral's a*b* that moves by more than this shows another light: beyond a lamp's ageing over a day's work. */
const OTHER_LIGHT = 3

/** The session that captures were taken in. */
export function sessionOf(captures: readonly CaptureInfo[], neutral?: Neutral): Session {
  const all = (of: (info: CaptureInfo) => string | undefined) => [
    ...new Set(captures.flatMap((info) => of(info) ?? [])),
  ]
  const [, a, b] = neutral ? labAt80(neutral.linear) : []
  return {
    devices: all(({ conditions }) => conditions?.device),
    lenses: all(({ conditions }) =>
      [conditions?.lens, conditions?.focalMm && `${conditions.focalMm} mm`].filter(Boolean).join(', '),
    ).filter(Boolean),
    exposures: all(({ conditions }) => describeExposure(conditions)),
    lights: all(({ conditions }) => conditions?.light),
    profiles: all(({ profile }) => profile),
    ...(neutral && { neutral: { label: neutral.label, a: a!, b: b! } }),
  }
}

/**
 * Compares the session a reading was saved in with this one.
 * @param anyway the pipeline says to use the reading whatever differs
 * @param where the saved reading's path
 * @throws RequestError with what differs, unless told to go on
 */
export function checkSession(
  saved: Session | undefined,
  now: Session,
  { where, step, anyway }: { where: string; step: string; anyway: boolean },
): Reuse {
  if (!saved) return { differs: [], unknown: ['the session it was taken in: the reading does not say'] }
  const differs: string[] = []
  const unknown: string[] = []
  const compare = (what: string, before: readonly string[], after: readonly string[]) => {
    if (before.length === 0 || after.length === 0) unknown.push(what)
    else if (after.some((one) => !before.includes(one))) {
      differs.push(`${what}: ${after.join(' and ')} instead of ${before.join(' and ')}`)
    }
  }
  compare('the device', saved.devices, now.devices)
  compare('the lens', saved.lenses, now.lenses)
  compare('the exposure', saved.exposures, now.exposures)
  compare('the profile', saved.profiles, now.profiles)
  const [before, after] = [saved.neutral, now.neutral]
  if (before && after) {
    const apart = Math.hypot(after.a - before.a, after.b - before.b)
    if (apart > OTHER_LIGHT) {
      differs.push(
        `the light: ${after.label} is ${apart.toFixed(1)} (a*b*) from ${before.label} in its grey balance`,
      )
    }
  } else compare('the light', saved.lights, now.lights)
  if (differs.length > 0 && !anyway) {
    throw new RequestError({
      where,
      what: `the saved reading of ${step} is of another session`,
      expected: 'the same light, exposure, device and profile',
      found: differs.join('; '),
      todo: `Take the reading again in this session, or write trust-reading: true beside reading: to use it all the same`,
    })
  }
  return { differs, unknown }
}

/** What a person should hear of a reading used again. */
export function reuseWords({ differs, unknown }: Reuse): { warning?: string; statement?: string } {
  return {
    ...(differs.length + unknown.length === 0 && {
      statement: 'Device, lens, exposure, profile and light are those of the earlier run.',
    }),
    ...(differs.length > 0 && { warning: `Used all the same, as the pipeline says: ${differs.join('; ')}` }),
    ...(unknown.length > 0 && {
      statement: `Not compared with the earlier run, because files do not say: ${unknown.join(', ')}.`,
    }),
  }
}

/** CIELAB of a colour brought to L* 80, so that only its tint counts. */
export function labAt80(linear: Readonly<Vector3>): Vector3 {
  const xyz = apply3(WORKING_TO_XYZ_D50, linear)
  // L* 80 is Y = ((80 + 16) / 116)³.
  const scale = (96 / 116) ** 3 / xyz[1]
  return xyzD50ToLab(xyz.map((v) => v * scale) as Vector3)
}
