import type { Finding } from '../../findings.js'
import { contrastSensitivity } from '../sharpening/acutance.js'
import { edgeProfile } from '../sharpening/edgeProfile.js'
import {
  detailTransfer,
  fileTransfer,
  type PrintChain,
  pixelsPerDegreeInverse,
  printTransfer,
} from '../sharpening/printChain.js'
import { OVERSHOOT_LIMIT, type SharpeningPlan } from '../sharpening/solveSharpening.js'

const CPIQ = 'IEEE 1858 (CPIQ), acutance'
const WHY: Record<SharpeningPlan['stoppedBy'], string> = {
  target: 'the target is reached',
  'overshoot limit': `stopped at the overshoot limit of ${OVERSHOOT_LIMIT * 100} %, short of the target`,
  'sharp enough': 'sharper than the target already, nothing is added',
  'switched off': 'switched off',
}

/** Nearer than this to the target, two outputs look equally sharp. */
const EQUAL_SHARE = 0.03

/** All outputs have one target by default; one that cannot have it looks different beside the others, which is said. */
function unequal({ acutanceAfter, stoppedBy }: SharpeningPlan, target: number | null): Finding[] {
  if (target === null || Math.abs(acutanceAfter / target - 1) <= EQUAL_SHARE) return []
  const reached = acutanceAfter.toFixed(2)
  const text =
    stoppedBy === 'sharp enough'
      ? `looks sharper than outputs that meet the target of ${target}: the eye cannot tell its pixels from there (${reached}), and nothing is softened to match`
      : `looks softer than outputs that meet the target of ${target}: ${reached} is what ${OVERSHOOT_LIMIT * 100} % of overshoot allow; more captured pixels would help, sharpening would not`
  return [{ kind: 'statement', text }]
}

function floorFinding(sharpening: SharpeningPlan['sharpening']): Finding[] {
  if (!sharpening?.noiseFloor) return []
  const percent = Number((sharpening.noiseFloor * 100).toFixed(2))
  const text = `differences below ${percent} % of the light are taken for paper and noise and are not sharpened`
  return [{ kind: 'statement', text }]
}

/** A black edge beside white as the file holds it, across the edge in output pixels. */
function edgePlot(chain: PrintChain, sharpening: SharpeningPlan['sharpening']): Finding {
  const { edge, blurred, stepPx } = edgeProfile(chain, sharpening?.sigmaPx ?? 1)
  const middle = (edge.length - 1) / 2
  const series = (name: string, value: (i: number) => number) => ({
    name,
    points: edge.flatMap((_, i): [number, number][] => {
      const px = (i - middle) * stepPx
      return Math.abs(px) <= EDGE_SHOWN_PX ? [[px, value(i)]] : []
    }),
  })
  return {
    kind: 'plot',
    title: 'An edge from black to white in the file',
    xLabel: 'pixels from the edge',
    yLabel: 'light',
    series: [
      series('before sharpening', (i) => edge[i]),
      ...(sharpening
        ? [series('sharpened', (i) => edge[i] + sharpening.amount * (edge[i] - blurred[i]))]
        : []),
    ],
  }
}
const EDGE_SHOWN_PX = 6

/** What the sharpening does and what stopped it, with the modulation as seen, as predicted from the chain. */
export function sharpnessFindings(chain: PrintChain, plan: SharpeningPlan, target: number | null): Finding[] {
  const { sharpening, acutanceBefore, acutanceAfter, overshoot, peakModulation, stoppedBy } = plan
  const viewing = `${Math.round(chain.viewingMm)} mm`
  const filter = sharpening
    ? `radius (sigma) ${sharpening.sigmaPx.toFixed(2)} px, amount ${Math.round(sharpening.amount * 100)} %`
    : 'no sharpening'
  const scale = pixelsPerDegreeInverse(chain)
  const seen = (cpd: number) => fileTransfer(chain, cpd * scale) * printTransfer(chain, cpd * scale)
  const gain = (cpd: number) =>
    sharpening ? 1 + sharpening.amount * detailTransfer(sharpening.sigmaPx, cpd * scale) : 1
  const printed = Math.max(...Array.from({ length: 120 }, (_, half) => seen(half / 2) * gain(half / 2)))
  const curve = (name: string, value: (cpd: number) => number) => ({
    name,
    points: Array.from({ length: 41 }, (_, cpd): [number, number] => [cpd, value(cpd)]),
  })
  return [
    { kind: 'statement', text: `seen from ${viewing}: ${filter}; ${WHY[stoppedBy]}` },
    ...unequal(plan, target),
    { kind: 'number', name: 'acutance before sharpening', value: acutanceBefore, unit: '', source: CPIQ },
    {
      kind: 'number',
      name: 'acutance',
      value: acutanceAfter,
      unit: '',
      ...(target === null ? {} : { target: `${target}`, pass: acutanceAfter > target * 0.97 }),
      source: CPIQ,
    },
    {
      kind: 'number',
      name: 'overshoot at edges',
      value: overshoot * 100,
      unit: '%',
      target: `at most ${OVERSHOOT_LIMIT * 100} %`,
      pass: overshoot <= OVERSHOOT_LIMIT + 1e-6,
    },
    {
      kind: 'number',
      name: 'greatest modulation of the file',
      value: peakModulation,
      unit: '',
      target: 'at most 1.0 for four stars, below 1.1 for three, below 1.2 for two',
      source: 'FADGI 2016, sharpening, maximum MTF',
    },
    { kind: 'number', name: 'greatest modulation on paper', value: printed, unit: '' },
    ...floorFinding(sharpening),
    {
      kind: 'plot',
      title: `What is passed to the eye from ${viewing}`,
      xLabel: 'cycles a degree',
      yLabel: 'modulation',
      series: [
        curve('resampled and printed', seen),
        curve('sharpened', (cpd) => seen(cpd) * gain(cpd)),
        curve("the eye's sensitivity", (cpd) => contrastSensitivity(cpd) / 3),
      ],
    },
    edgePlot(chain, sharpening),
  ]
}
