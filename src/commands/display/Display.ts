import type { RunEvent } from '../../engine/RunEvent.js'

/** How a run is shown while it works. */
export interface Display {
  event(event: RunEvent): void
  /** Takes away what is only there while the run works. Called once, whether it went well or not. */
  close(): void
}
