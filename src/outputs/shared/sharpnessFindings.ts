import type { Finding } from '../../findings.js'
import { contrastSensitivity } from '../sharpening/acutance.js'
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
  const curve = (name: string, value: (cpd: number) => number) => ({
    name,
    points: Array.from({ length: 41 }, (_, cpd): [number, number] => [cpd, value(cpd)]),
  })
  return [
    { kind: 'statement', text: `seen from ${viewing}: ${filter}; ${WHY[stoppedBy]}` },
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
  ]
}
