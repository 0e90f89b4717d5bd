/**
 * A chart's measured colours as a CGATS text file (ISO 28178), one line a patch in patch order.
 * @param labD50 CIELAB, D50, 2 degrees
 */
export function chartReferenceText(labD50: readonly (readonly number[])[]): string {
  const rows = labD50.map((lab, i) => [i + 1, ...lab.map((value) => value.toFixed(3))].join('\t'))
  return [
    'CGATS.17',
    'DESCRIPTOR "The 24 patches of the painted chart"',
    'ORIGINATOR "computed from the spectra the chart was rendered from, CIE 1931 observer, D50"',
    'NUMBER_OF_FIELDS 4',
    'BEGIN_DATA_FORMAT',
    'SAMPLE_ID LAB_L LAB_A LAB_B',
    'END_DATA_FORMAT',
    `NUMBER_OF_SETS ${rows.length}`,
    'BEGIN_DATA',
    ...rows,
    'END_DATA',
    '',
  ].join('\n')
}
