/** Prints one line of the bench: what, what was measured, what was asked, and whether it was reached. */
export function row(name: string, measured: string, asked: string, reached?: boolean): void {
  const verdict = reached === undefined ? '' : reached ? 'reached' : 'NOT REACHED'
  console.log(`${name.padEnd(44)} ${measured.padStart(20)}   ${asked.padEnd(22)} ${verdict}`.trimEnd())
}
