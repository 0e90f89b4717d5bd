/** The warning about files whose numbers nobody explained, in one sentence; undefined where there are none. */
export function untaggedWarning(labels: readonly string[]): string | undefined {
  if (labels.length === 0) return undefined
  const [first, ...more] = labels
  const who = more.length === 0 ? `${first} carries` : `${first} and ${more.length} more carry`
  const whose = more.length === 0 ? 'its' : 'their'
  return `${who} no profile and the pipeline names none; ${whose} numbers are taken as sRGB`
}
