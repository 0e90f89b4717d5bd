import type { Finding } from '../findings.js'
import type { Measurement, RunRecord } from '../runRecord.js'
import type { RunEvent } from './RunEvent.js'

/** Collects what a run says for its record, and passes it on as it happens. */
export class RunLog {
  readonly measurements: Measurement[] = []
  readonly warnings: RunRecord['warnings'] = []
  readonly timings: RunRecord['timings'] = []
  readonly #onEvent: (event: RunEvent) => void
  #planned = 0
  #told = 0

  constructor(onEvent: (event: RunEvent) => void) {
    this.#onEvent = onEvent
  }

  /**
   * A function that tells how far a stage is; the stage takes the run from where it is now to `upTo`, 0..1.
   */
  stage(stage: string, upTo: number): (share: number) => void {
    const from = this.#planned
    this.#planned = upTo
    const tell = (share: number) => {
      // Stages that run side by side each know only their own stretch; the whole never goes back.
      this.#told = Math.max(this.#told, from + (upTo - from) * share)
      this.#onEvent({ event: 'progress', stage, share, overall: this.#told })
    }
    tell(0)
    return tell
  }

  /** The same for stages that run side by side and take the run through one stretch together: told by their index. */
  stages(names: readonly string[], upTo: number): (index: number, share: number) => void {
    const from = this.#planned
    this.#planned = upTo
    const shares = names.map(() => 0)
    const tell = (index: number, share: number) => {
      shares[index] = share
      const all = shares.reduce((sum, one) => sum + one, 0) / shares.length
      this.#told = Math.max(this.#told, from + (upTo - from) * all)
      this.#onEvent({ event: 'progress', stage: names[index], share, overall: this.#told })
    }
    for (const index of names.keys()) tell(index, 0)
    return tell
  }

  /** Times a piece of work under a stage's name. */
  async time<T>(stage: string, work: () => Promise<T>): Promise<T> {
    const started = performance.now()
    const result = await work()
    this.timings.push({ stage, seconds: (performance.now() - started) / 1000 })
    return result
  }

  warn(step: string, text: string): void {
    this.warnings.push({ step, message: text })
    this.#onEvent({ event: 'warning', step, text })
  }

  say(step: string, text: string): void {
    this.#onEvent({ event: 'statement', step, text })
  }

  written(output: { kind: string; name: string; path: string }): void {
    const { kind, name, path } = output
    this.#onEvent({ event: 'written', kind, name, path })
  }

  /** Takes the numbers, statements and warnings out of findings; pictures and tables are the report's. */
  findings(step: string, findings: readonly Finding[]): void {
    for (const finding of findings) {
      if (finding.kind === 'warning') this.warn(step, finding.text)
      else if (finding.kind === 'statement') this.say(step, finding.text)
      else if (finding.kind === 'number') {
        const { kind: _, ...number } = finding
        this.measurements.push({ step, ...number })
        this.#onEvent({ event: 'measurement', step, ...number })
      }
    }
  }
}
