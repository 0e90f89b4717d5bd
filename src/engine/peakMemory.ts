import { resourceUsage } from 'node:process'

/** The most memory this process has held so far, in bytes (resident set, shared memory included). */
export function peakMemory(): number {
  return resourceUsage().maxRSS * 1024
}
