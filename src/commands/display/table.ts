/**
 * Rows in columns set apart by two blanks; later columns in which every cell starts with a digit are set flush right.
 * @param head column titles
 * @param rows cells, as many as there are titles
 * @param indent blanks before each line
 */
export function table(head: readonly string[], rows: readonly (readonly string[])[], indent = 2): string[] {
  const widths = head.map((title, i) => Math.max(title.length, ...rows.map((row) => row[i].length)))
  const right = head.map((_, i) => i > 0 && rows.length > 0 && rows.every((row) => /^\d/.test(row[i])))
  return [head, ...rows].map((row) => {
    const cells = row.map((cell, i) => (right[i] ? cell.padStart(widths[i]) : cell.padEnd(widths[i])))
    return `${' '.repeat(indent)}${cells.join('  ')}`.trimEnd()
  })
}
