import type { Finding } from '../../findings.js'
import type { PaperReading } from './Reading.js'

/** What there is to say of the paper and of making it white. */
export function paperFindings(reading: PaperReading): Finding[] {
  const [l, a, b] = reading.baseLab
  const percent = (share: number) => `${(100 * share).toFixed(1)} %`
  return [
    { kind: 'number', name: 'paper L*', value: l, unit: 'L*' },
    { kind: 'number', name: 'paper a*', value: a, unit: 'a*' },
    { kind: 'number', name: 'paper b*', value: b, unit: 'b*' },
    { kind: 'number', name: 'unpainted', value: 100 * reading.blankShare, unit: '% of the sheet' },
    { kind: 'number', name: 'unevenness of the paper', value: reading.unevenPercent, unit: '%' },
    {
      kind: 'statement',
      text: `The paper (L* ${l}, a* ${a}, b* ${b}, from ${reading.windowsUsed} of ${reading.windowsSampled} windows, ${reading.basis === 'auto' ? 'found by itself' : 'in the regions named'}) is brought to white: numbers are now relative to the sheet’s own blank paper.`,
    },
    {
      kind: 'statement',
      text: `Paper within ${percent(reading.near.dark)} of white carries no ink; from ${percent(3 * reading.near.dark)} darker on, paint keeps its tone exactly.`,
    },
    ...reading.warnings.map((text): Finding => ({ kind: 'warning', text })),
  ]
}
