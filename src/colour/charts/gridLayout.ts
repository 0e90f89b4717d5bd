import type { ChartLayout } from './ChartLayout.js'

/** How a chart of one's own is laid out. */
export interface Grid {
  columns: number
  rows: number
  /** What the letter of a name such as `B3` counts. */
  letters: 'columns' | 'rows'
  /** How bare numbers count: along the rows, or down the columns. */
  numbers: 'by-row' | 'by-column'
}

/** The cells of a grid, row by row; which are grey is known once the colours are. */
export function gridCells({ columns, rows }: Grid): ChartLayout['patches'] {
  return Array.from({ length: columns * rows }, (_, k) => {
    const [column, row] = [k % columns, Math.floor(k / columns)]
    return { name: `column ${column + 1}, row ${row + 1}`, at: [column, row] }
  })
}

/** Index of a cell by its name in a data file: `B3`, `AA07`, `17`. */
export function gridIndex({ columns, rows, letters, numbers }: Grid, name: string): number | undefined {
  const number = /^0*(\d{1,4})$/.exec(name)
  if (number) {
    const k = Number(number[1]) - 1
    if (k < 0 || k >= columns * rows) return undefined
    return numbers === 'by-row' ? k : (k % rows) * columns + Math.floor(k / rows)
  }
  const place = /^([A-Z]{1,2})0*(\d{1,2})$/i.exec(name)
  if (!place) return undefined
  const letter = [...place[1].toUpperCase()].reduce((sum, one) => 26 * sum + one.charCodeAt(0) - 64, 0) - 1
  const count = Number(place[2]) - 1
  const [column, row] = letters === 'columns' ? [letter, count] : [count, letter]
  return column < columns && row >= 0 && row < rows && column >= 0 ? row * columns + column : undefined
}
