import { Interrupted } from '../errors.js'

/** Throws Interrupted where the signal has said so. */
export function stopIf(signal: AbortSignal | undefined): void {
  if (signal?.aborted) throw new Interrupted({ cause: signal.reason })
}

/**
 * The outcome of work that cannot be stopped, or Interrupted as soon as the signal says so; the work then ends unseen.
 * @param work what libvips has begun
 */
export async function abortable<T>(work: Promise<T>, signal?: AbortSignal): Promise<T> {
  if (!signal) return work
  work.catch(() => {}) // after an interruption nobody else listens
  stopIf(signal)
  let stop = () => {}
  const stopped = new Promise<never>((_, reject) => {
    stop = () => reject(new Interrupted({ cause: signal.reason }))
    signal.addEventListener('abort', stop, { once: true })
  })
  return Promise.race([work, stopped]).finally(() => signal.removeEventListener('abort', stop))
}
