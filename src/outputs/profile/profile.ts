import { deltaE2000 } from '../../colour/deltaE2000.js'
import { xyzD50ToLab } from '../../colour/lab.js'
import { apply3 } from '../../colour/matrix3.js'
import type { DeviceColour } from '../../colour/profiles/deviceMatrix.js'
import { inputProfileBytes } from '../../colour/profiles/inputProfileBytes.js'
import { lcmsToXyz } from '../../colour/profiles/lcmsToXyz.js'
import { readProfile } from '../../colour/profiles/readProfile.js'
import { WORKING_TO_XYZ_D50 } from '../../colour/working.js'
import { RequestError } from '../../errors.js'
import type { Finding } from '../../findings.js'
import type { MasterInfo, Output } from '../contract.js'
import { type ProfileParams, profileParams } from './params.js'

/** Largest size of the file: a table of 41 nodes a side and its curves. */
const MOST_BYTES = 450_000

/** Agreement with our own pixels, 95th percentile in dE2000, that is asked of the profile. */
const AGREEMENT = 0.3

/** The measured colour correction as an ICC input profile, for other programs. */
export const profile: Output<ProfileParams> = {
  kind: 'profile',
  summary: "an ICC input profile of the measured colour, for the session's captures in other programs",
  params: profileParams,
  paths: ({ file }) => [file],
  plan({ name, file }, master) {
    if (!master.colourMeasured) {
      throw new RequestError({
        what: `${name}: nothing has measured the colour of the captures`,
        expected: 'the step colour with a chart, or with a reading of one',
        todo: 'Add it: - colour: { chart: chart.tif }, or leave this output out',
      })
    }
    return {
      files: [],
      documents: [{ kind: 'profile', name, path: file, bytes: MOST_BYTES }],
      ticket: [
        `- File: ${file}: an ICC input profile, for captures of this device in this light with these settings.`,
        '- Assign it to captures as they come from the device; do not convert captures into it.',
        '- Flat-field and everything after colour are not in it.',
      ],
      findings: [],
    }
  },
  async render({ file, description }, { master, deviceColour, writeBytes, say }) {
    if (!deviceColour) throw new TypeError('a profile was planned without measured colour')
    const made = inputProfileBytes(deviceColour, description ?? titleOf(master))
    await writeBytes(file, made.bytes)
    const how =
      made.kind === 'matrix'
        ? 'curves and a matrix, as the correction is'
        : 'a table of 41 x 41 x 41 colours, as the correction is more than curves and a matrix'
    say({ kind: 'statement', text: `${file} holds ${how}; its white is the perfect diffuser.` })
    for (const finding of await agreement(made.bytes, file, deviceColour)) say(finding)
  },
}

const titleOf = ({ title }: MasterInfo) => `${title}, captures as measured`

/** How well another reader of the profile, Little CMS, agrees with our own pixels on colours all over the device's cube. */
async function agreement(bytes: Uint8Array, label: string, deviceColour: DeviceColour): Promise<Finding[]> {
  const count = 4096
  // The additive recurrence of the plastic number's relative in three dimensions: no clumps, no gaps.
  const phi = 1.2207440846057596
  const codes = Uint16Array.from({ length: 3 * count }, (_, i) =>
    Math.floor(((0.5 + (Math.floor(i / 3) + 1) / phi ** ((i % 3) + 1)) % 1) * 65536),
  )
  const [r, g, b] = deviceColour(codes)
  const theirs = await lcmsToXyz(readProfile(bytes, label), (toXyz) =>
    toXyz(Float32Array.from(codes, (code) => code / 65535)),
  )
  const errors: number[] = []
  for (let i = 0; i < count; i++) {
    const own = apply3(WORKING_TO_XYZ_D50, [r[i], g[i], b[i]])
    // No surface has a colour outside the working space, and no profile holds more light than this.
    if (r[i] < 0 || g[i] < 0 || b[i] < 0 || own.some((v) => v > 1.99)) continue
    errors.push(
      deltaE2000(xyzD50ToLab(own), xyzD50ToLab([theirs[3 * i], theirs[3 * i + 1], theirs[3 * i + 2]])),
    )
  }
  errors.sort((a, b) => a - b)
  const value = errors[Math.floor(0.95 * (errors.length - 1))]
  const beyond = (100 * (count - errors.length)) / count
  return [
    {
      kind: 'number',
      name: 'profile against own pixels, 95th percentile dE2000',
      value,
      unit: 'dE2000',
      target: `<= ${AGREEMENT}`,
      source: 'Little CMS applying the profile to colours spread over all codes',
      pass: value <= AGREEMENT,
    },
    ...(beyond > 0.5
      ? [
          {
            kind: 'statement' as const,
            text: `${beyond.toFixed(1)} % of all combinations of codes stand for colours that no surface has or no profile can hold; they are not among the colours compared.`,
          },
        ]
      : []),
  ]
}
