import type { ChartLayout } from './ChartLayout.js'

const COLUMNS = 22
const ROWS = 12
const GREY_STEPS = 24

/**
 * The ISO 12641-1 reflection target (IT8.7/2): rows A to L, columns 1 to 22, and a scale of 24 greys, GS0 the lightest.
 * Source of the names: public data files of such targets. The greys stand in a row of their own below the grid; where
 * exactly is measured in the capture (see steps/colour/find/placeStrip.ts), here they stand at their usual place (from
 * memory): one before the first column to one behind the last.
 */
export const IT8: ChartLayout = {
  title: 'ISO 12641-1 target',
  columns: COLUMNS,
  rows: ROWS,
  patches: [
    ...Array.from({ length: COLUMNS * ROWS }, (_, k) => ({
      name: `${String.fromCharCode(65 + Math.floor(k / COLUMNS))}${(k % COLUMNS) + 1}`,
      at: [k % COLUMNS, Math.floor(k / COLUMNS)] as const,
    })),
    ...Array.from({ length: GREY_STEPS }, (_, k) => ({ name: `GS${k}`, at: [k - 1, ROWS + 0.5] as const })),
  ],
  greys: Array.from({ length: GREY_STEPS }, (_, k) => COLUMNS * ROWS + k),
}

/** Index of a patch by its name in a data file: `A1`, `a01`, `GS0`, `GS00`. */
export function it8Index(name: string): number | undefined {
  const grey = /^GS\s?0*(\d{1,2})$/i.exec(name)
  if (grey) return Number(grey[1]) < GREY_STEPS ? COLUMNS * ROWS + Number(grey[1]) : undefined
  const place = /^([A-L])0*(\d{1,2})$/i.exec(name)
  if (!place) return undefined
  const [row, column] = [place[1].toUpperCase().charCodeAt(0) - 65, Number(place[2]) - 1]
  return column >= 0 && column < COLUMNS ? row * COLUMNS + column : undefined
}
