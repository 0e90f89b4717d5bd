import type { Finding } from '../../findings.js'
import { drawLayout, magnification } from './layout/drawLayout.js'
import type { StitchReading } from './Reading.js'
import { worstSeamFindings } from './seams/worstSeamFindings.js'

/** What the person is told of a reading. */
export function stitchFindings(reading: StitchReading): Finding[] {
  const findings: Finding[] = [
    ...reading.warnings.map((text) => ({ kind: 'warning' as const, text })),
    ...reading.statements.map((text) => ({ kind: 'statement' as const, text })),
  ]
  if (reading.captures.length === 1) return findings
  const name = (index: number) => reading.captures[index].label
  findings.push(
    { kind: 'number', name: 'misplacement rms', value: reading.misplacementRmsPx, unit: 'px' },
    { kind: 'number', name: 'windows measured', value: reading.windows, unit: '' },
    { kind: 'number', name: 'windows left out', value: reading.outliers, unit: '' },
    { kind: 'number', name: 'captured more than once', value: reading.overlapShare * 100, unit: '%' },
    { kind: 'number', name: 'uncovered', value: reading.uncoveredShare * 100, unit: '%' },
    ...(reading.scaleUncertainty === undefined
      ? []
      : [
          {
            kind: 'number' as const,
            name: 'scale uncertainty',
            value: round(reading.scaleUncertainty * 100, 3),
            unit: '%',
          },
        ]),
    ...combiningNumbers(reading),
    {
      kind: 'table',
      title: 'Pairs of captures that lie on each other',
      columns: ['capture', 'and', 'overlap %', 'correlation', 'windows', 'left out', 'residual rms px'],
      rows: reading.pairs.map((pair) => [
        name(pair.first),
        name(pair.second),
        round(pair.overlapShare * 100, 1),
        round(pair.correlation, 3),
        pair.windows,
        pair.outliers,
        pair.windows ? round(pair.residualRmsPx, 3) : '–',
      ]),
    },
    {
      kind: 'table',
      title: 'Captures on the sheet',
      columns: ['capture', 'turned', 'rotation degrees', 'gain red', 'gain green', 'gain blue'],
      rows: reading.captures.map(({ label, turned, placed }) =>
        placed
          ? [label, turned, round(placed.rotationDeg, 3), ...placed.gain.map((value) => round(value, 3))]
          : [label, turned, 'left out', '–', '–', '–'],
      ),
    },
    ...sharpnessTable(reading),
    ...reading.layers.map((layer) => ({
      kind: 'picture' as const,
      title: layer.turned === undefined ? 'Layout' : `Layout of captures turned by ${layer.turned} degrees`,
      caption: `Each capture’s share of the sheet in a tint of its own, captures’ outlines grey, seams black. Blue: by how much two captures disagree about a window, drawn ${magnification(reading)} times as long as it is on the sheet; red crosses: windows left out.`,
      picture: drawLayout(reading, layer),
    })),
    ...worstSeamFindings(reading),
  )
  return findings
}

function combiningNumbers({ combining }: StitchReading): Finding[] {
  if (!combining) return []
  const { severalShare, opposedShare, reliefDb } = combining
  const share = (name: string, value: number) =>
    ({ kind: 'number', name, value: round(value * 100, 1), unit: '% of what is covered' }) as const
  return [
    share('under two or more lightings', severalShare),
    share('under opposite lightings', opposedShare),
    ...(reliefDb === undefined
      ? []
      : [
          {
            kind: 'number',
            name: 'relief left by combining',
            value: round(reliefDb, 1),
            unit: 'dB',
          } as const,
        ]),
  ]
}

function sharpnessTable({ sharpness, captures }: StitchReading): Finding[] {
  if (!sharpness) return []
  return [
    {
      kind: 'table',
      title:
        'Sharpness where captures overlap: the second’s fine contrast as a share of the first’s, and in how many % of the windows each is surely sharper',
      columns: ['capture', 'and', 'windows', 'share', 'first', 'second'],
      rows: sharpness.map(({ first, second, windows, contrast, firstSharper, secondSharper }) => [
        ...[captures[first].label, captures[second].label, windows, round(contrast, 2)],
        ...[firstSharper, secondSharper].map((part) => round((part?.share ?? 0) * 100, 0)),
      ]),
    },
  ]
}

const round = (value: number, digits: number) => Number(value.toFixed(digits))
