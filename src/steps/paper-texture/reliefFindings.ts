import type { Finding } from '../../findings.js'
import { MM_PER_INCH } from '../../units.js'
import type { Params } from './params.js'
import { periodicPeaks } from './periodicPeaks.js'
import type { ReliefReading } from './Reading.js'
import { fromHalfPlane } from './spectrum.js'
import { spectrumPicture } from './spectrumPicture.js'

/** What there is to say of a relief and of taking it away. */
export function reliefFindings(reading: ReliefReading, params: Params): Finding[] {
  const { strength, 'keep-granulation': kept } = params
  const { window: n, ppi, periodPx } = reading
  const power = fromHalfPlane(reading.spectrum, n)
  const period = ppi ? ` (${((periodPx / ppi) * MM_PER_INCH).toFixed(2)} mm)` : ''
  if (reading.basis === 'earlier step') {
    return [
      { kind: 'number', name: 'relief', value: reading.reliefRmsPercent, unit: '% RMS' },
      {
        kind: 'statement',
        text: `An earlier step left ${reading.reliefRmsPercent} % RMS of relief, less than noise and pigment show: the picture is left exactly as it is.`,
      },
    ]
  }
  const warnings = reading.warnings.map((text): Finding => ({ kind: 'warning', text }))
  const findings: Finding[] = [
    { kind: 'number', name: 'relief', value: reading.reliefRmsPercent, unit: '% RMS' },
    { kind: 'number', name: 'blank windows used', value: reading.windowsUsed, unit: 'windows' },
    { kind: 'number', name: 'blank paper found', value: 100 * reading.blankShare, unit: '% of the sheet' },
    { kind: 'number', name: 'strongest period', value: periodPx, unit: 'px' },
    { kind: 'number', name: 'isotropy', value: reading.isotropy, unit: '0..1' },
    { kind: 'statement', text: basisText(reading) },
  ]
  if (!reading.textured) {
    findings.push({
      kind: 'statement',
      text: reading.pattern
        ? `What is uneven in the sheet (${reading.reliefRmsPercent} % RMS) changes its colour as much as its light and is made of dark spots on an even ground, as the gaps between threads of silk: that is no relief under a lamp but part of the picture, which is left exactly as it is. Where it is to go all the same, name blank places with \`blank\`.`
        : `The sheet shows no relief above noise (${reading.reliefRmsPercent} % RMS): the picture is left exactly as it is.`,
    })
    return [...findings, ...warnings]
  }
  findings.push(
    { kind: 'number', name: 'relief left on blank paper', value: reading.residualDb, unit: 'dB' },
    ...leakFindings(reading),
    {
      kind: 'statement',
      text: `The relief repeats most strongly every ${periodPx} px${period}; it is strongest across ${reading.directionDeg} degrees, ${directedness(reading.isotropy)}. Share of it taken away: ${strength}.`,
    },
    {
      kind: 'picture',
      title: 'Spectrum of the relief',
      caption: `Power of the sheet’s log luminance under windows of ${n} x ${n} px; zero frequency in the middle, black 40 dB below the strongest.`,
      picture: spectrumPicture(power, n, 4),
    },
    {
      kind: 'plot',
      title: 'Relief by period',
      xLabel: 'cycles per 64 px',
      yLabel: 'dB below the strongest',
      series: [{ name: 'mean over directions', points: radial(power, n) }],
    },
  )
  const peaks = periodicPeaks(power, n)
  if (peaks.length > 0) {
    const length = (px: number) => (ppi ? `${((px / ppi) * MM_PER_INCH).toFixed(2)} mm` : `${px} px`)
    findings.push({
      kind: 'table',
      title: 'What repeats in the relief',
      columns: ['every', 'across, degrees', '% of the relief'],
      rows: peaks.map(({ periodPx: px, directionDeg, share }) => [
        length(px),
        directionDeg,
        Math.round(100 * share),
      ]),
    })
    findings.push({
      kind: 'statement',
      text: 'These periods are taken off window by window, each where the sheet has it just there: a period that drifts or bends is followed.',
    })
  }
  if (kept > 0) {
    findings.push({
      kind: 'statement',
      text: reading.paper
        ? `Where paint lies, ${Math.round(100 * kept)} % of the fine grain is left alone, pigment’s and paper’s alike.`
        : `${Math.round(100 * kept)} % of the fine grain is left alone everywhere: no bare sheet was found that would tell where paint lies.`,
    })
  }
  if (reading.tint.some((slope) => slope !== 0)) {
    const [red, blue] = reading.tint.map((slope) => `${slope > 0 ? '+' : ''}${Math.round(100 * slope)} %`)
    findings.push({
      kind: 'statement',
      text: `On blank paper the relief also changes colour with lightness (red against green ${red}, blue against green ${blue} of the change), as after a tone curve; the channels are corrected in that proportion.`,
    })
  }
  findings.push({
    kind: 'statement',
    text: reading.noise
      ? 'The capture’s colour noise, learned from the same blank paper, is taken out of the ratios between the channels; where paint changes them by more than the noise, they stay.'
      : 'No blank paper tells the capture’s colour noise from paint: the ratios between the channels stay as they are.',
  })
  findings.push(...warnings)
  return findings
}

/** Above this a person should look before trusting the result, per cent of the area. */
const MOST_LEAK = 10

function leakFindings({ leakPercent }: ReliefReading): Finding[] {
  if (leakPercent === undefined) return []
  const findings: Finding[] = [
    { kind: 'number', name: 'picture in what was taken away', value: leakPercent, unit: '% of the area' },
    {
      kind: 'statement',
      text: `In ${leakPercent} % of the area what was taken away follows the picture’s own structure beyond what relief explains (squares of 16 px, sampled over the sheet; the number errs upwards). Under “what changed” below is exactly what was taken away.`,
    },
  ]
  if (leakPercent > MOST_LEAK) {
    findings.push({
      kind: 'warning',
      text: `paper-texture: in ${leakPercent} % of the area part of the picture went with the relief. Compare fine lines with the capture; a lower \`strength\` or a higher \`detail\` keeps more.`,
    })
  }
  return findings
}

function basisText({ basis, windowsUsed, windowsSampled }: ReliefReading): string {
  const counts = `${windowsUsed} of ${windowsSampled} windows looked at`
  if (basis === 'blank') return `Relief learned from blank paper found by itself: ${counts}.`
  if (basis === 'regions') return `Relief learned from the blank regions named: ${counts}.`
  if (basis === 'washes') return `Relief learned from the flattest washes: ${counts}.`
  return 'Relief taken from a saved reading of another sheet.'
}

function directedness(isotropy: number): string {
  if (isotropy > 0.8) return 'and nearly the same in every direction'
  return isotropy > 0.4 ? 'and plainly directed' : 'and lies almost wholly in that direction'
}

function radial(power: Float32Array, n: number): [number, number][] {
  const sums = new Float64Array(n / 2 + 1)
  const counts = new Float64Array(n / 2 + 1)
  for (let y = 0; y < n; y++) {
    for (let x = 0; x < n; x++) {
      const radius = Math.round(Math.hypot(Math.min(x, n - x), Math.min(y, n - y)))
      if (radius < 2 || radius > n / 2) continue
      sums[radius] += power[y * n + x]
      counts[radius]++
    }
  }
  const means = Array.from(sums, (sum, k) => sum / Math.max(1, counts[k])).slice(2)
  const peak = Math.max(...means, 1e-20)
  return means.map((value, i) => [i + 2, Number((10 * Math.log10(value / peak + 1e-9)).toFixed(2))])
}
