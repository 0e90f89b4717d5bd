import type { ChartLayout } from './ChartLayout.js'

/** Columns and rows of the 24-patch chart with its grey row at the bottom. */
export const CHART24_COLUMNS = 6
export const CHART24_ROWS = 4

/**
 * The 24 patches by the names the trade gives them, row by row from the top left with the greys at the bottom
 * (McCamy, Marcus & Davidson 1976, "A Color-Rendition Chart", J. Appl. Photogr. Eng. 2(3):95-99).
 */
export const CHART24_NAMES: readonly string[] = [
  ...['dark skin', 'light skin', 'blue sky', 'foliage', 'blue flower', 'bluish green'],
  ...['orange', 'purplish blue', 'moderate red', 'purple', 'yellow green', 'orange yellow'],
  ...['blue', 'green', 'red', 'yellow', 'magenta', 'cyan'],
  ...['white', 'neutral 8', 'neutral 6.5', 'neutral 5', 'neutral 3.5', 'black'],
]

/** Index of the white patch, and of the six greys from white to black. */
export const CHART24_WHITE = 18
export const CHART24_GREYS: readonly number[] = [18, 19, 20, 21, 22, 23]

/** The chart as it lies upright. */
export const CHART24: ChartLayout = {
  title: '24-patch chart',
  columns: CHART24_COLUMNS,
  rows: CHART24_ROWS,
  patches: CHART24_NAMES.map((name, k) => ({
    name,
    at: [k % CHART24_COLUMNS, Math.floor(k / CHART24_COLUMNS)],
  })),
  greys: CHART24_GREYS,
}

/** `A1`..`F4`, letter = column, number = row, of a patch index 0..23. */
export function chart24Position(index: number): string {
  return `${String.fromCharCode(65 + (index % CHART24_COLUMNS))}${Math.floor(index / CHART24_COLUMNS) + 1}`
}
