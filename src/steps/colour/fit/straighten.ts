import { apply3, invert3 } from '../../../colour/matrix3.js'
import { type ChartLight, chartLight, EVEN_LIGHT, lightAt, unevenPercent } from '../chartLight.js'
import type { ChartColours } from './ChartColours.js'
import { type Fit, STRAIGHT, type Triple } from './Fit.js'
import { fitTone, type ToneKind } from './fitTone.js'
import { workingOfLab } from './labOfWorking.js'
import { linearRow } from './linearRow.js'
import { toLight, toneSlope } from './toLight.js'

/** A chart's colours brought to linear light, as if it had been lit evenly by the light at its middle. */
export interface Straightened {
  /** The patch that is met exactly: the lightest grey that takes part. */
  anchor: number
  light: ChartLight
  channels: Fit['channels']
  tone: Fit['tone']
  /** The device's channels, light, white at 1; one a patch. */
  lights: Triple[]
  /** The same before the tone, in the working space: as captured, in even light. */
  evened: Triple[]
}

/** Light that changes less than this across the chart is within what noise could feign, and is let be. */
const EVENED_PERCENT = 2

/** Patches darker than this share of white say little of the light. */
const DARK = 0.05

/** Tone and light each need the other; they have settled after this many turns. */
const TURNS = 4

/**
 * Linear light first: the tone of each of the device's channels from the greys, and the light over the chart from the
 * slopes inside the patches.
 * @param kind what the tone may hold
 * @param used patches that may be looked at
 */
export function straighten(chart: ChartColours, kind: ToneKind, used: readonly number[]): Straightened {
  const { linear, slopes, places, labD50, deviceToWorking } = chart
  const toDevice = invert3(deviceToWorking)
  const device = linear.map((colour) => apply3(toDevice, colour))
  const greys = chart.greys.filter((k) => used.includes(k))
  const [anchor] = greys
  const white0 = apply3(toDevice, workingOfLab(labD50[anchor]))
  const target = labD50.map(
    (lab) => apply3(toDevice, workingOfLab(lab)).map((v, c) => v / white0[c]) as Triple,
  )
  let wanted = target
  let tone: Fit['tone'] = [STRAIGHT, STRAIGHT, STRAIGHT]
  let light = EVEN_LIGHT
  let even = device
  let white = device[anchor]
  for (let turn = 0; turn < (kind === 'straight' ? 1 : TURNS); turn++) {
    if (kind !== 'straight') {
      tone = [0, 1, 2].map((c) =>
        fitTone(
          kind,
          greys.map((k) => even[k][c] / white[c]),
          greys.map((k) => wanted[k][c]),
        ),
      ) as Fit['tone']
    }
    const slopeOf = (k: number, c: number) => Math.max(0.3, toneSlope(even[k][c] / white[c], tone[c]))
    light = chartLight(
      used.map((k) => {
        const bright = Math.max(0, toLight(even[k][1] / white[1], tone[1]))
        const [right, down] = slopes[k].map((slope) => slope * slopeOf(k, 1))
        return { ...places[k], right, down, weight: bright / (bright + DARK) }
      }),
    )
    if (unevenPercent(light, places) <= EVENED_PERCENT) light = EVEN_LIGHT
    even = device.map(
      (colour, k) =>
        colour.map((v, c) => v / lightAt(light, places[k].u, places[k].v) ** (1 / slopeOf(k, c))) as Triple,
    )
    white = even[anchor]
    if (kind !== 'straight') wanted = asSeen(target, lightsOf(even, white, tone), used)
  }
  const channels = toDevice.map((entry, i) => entry / white[Math.floor(i / 3)])
  return {
    anchor,
    light,
    channels,
    tone,
    lights: lightsOf(even, white, tone),
    evened: even.map((colour) => apply3(deviceToWorking, colour)),
  }
}

const lightsOf = (even: readonly Readonly<Triple>[], white: Readonly<Triple>, tone: Fit['tone']) =>
  even.map((colour) => colour.map((v, c) => toLight(v / white[c], tone[c])) as Triple)

/**
 * The light that each patch should give the device's channels, as far as a matrix from the reference's tells: greys are
 * seldom quite grey, and each device sees their tint its own way.
 */
function asSeen(
  target: readonly Readonly<Triple>[],
  lights: readonly Readonly<Triple>[],
  used: readonly number[],
): Triple[] {
  const terms = used.map((k) => target[k])
  const seen = used.map((k) => lights[k])
  const rows = [0, 1, 2].map((c) => linearRow(c, terms, seen, 2, 0))
  return target.map(
    (colour) =>
      rows.map((row, c) =>
        colour.filter((_, k) => k !== c).reduce((sum, v, k) => sum + row[k] * (v - colour[c]), colour[c]),
      ) as Triple,
  )
}
