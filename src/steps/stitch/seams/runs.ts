/** Labels as runs: label and length, alternating. */
export function toRuns(labels: Int16Array): number[] {
  const runs: number[] = []
  for (let i = 0; i < labels.length; ) {
    let end = i + 1
    while (end < labels.length && labels[end] === labels[i]) end++
    runs.push(labels[i], end - i)
    i = end
  }
  return runs
}

/** Back to one label a cell. */
export function fromRuns(runs: readonly number[], count: number): Int16Array {
  const labels = new Int16Array(count)
  for (let r = 0, i = 0; r < runs.length; r += 2) {
    labels.fill(runs[r], i, i + runs[r + 1])
    i += runs[r + 1]
  }
  return labels
}
