/** Before this much time and share no guess is worth showing. */
const MIN_SECONDS = 2
const MIN_SHARE = 0.03

/**
 * Seconds that a run still takes, from its mean pace so far; undefined while too little is done to tell.
 * @param seconds passed so far
 * @param share done of the whole run, 0..1
 */
export function timeLeft(seconds: number, share: number): number | undefined {
  if (share >= 1) return 0
  if (seconds < MIN_SECONDS || share < MIN_SHARE) return undefined
  return (seconds / share) * (1 - share)
}
