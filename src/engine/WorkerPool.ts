import { setMaxListeners } from 'node:events'
import { availableParallelism } from 'node:os'
import { fileURLToPath } from 'node:url'
import { Piscina } from 'piscina'
import { Interrupted } from '../errors.js'
import type { TaskMessage, TaskName, Tasks } from './tasks.js'

/** The built worker: beside this module, or in `dist` where this module itself runs from its TypeScript source. */
const WORKER_FILE = fileURLToPath(
  new URL(
    import.meta.url.endsWith('.ts') ? '../../dist/src/engine/startWorker.cjs' : './startWorker.cjs',
    import.meta.url,
  ),
)

/** Threads that answer tasks. Stopping the signal ends running tasks at once. */
export class WorkerPool {
  readonly threads: number
  /** Stops every task. */
  readonly signal: AbortSignal
  #piscina: Piscina

  constructor({ threads, signal }: { threads?: number; signal: AbortSignal }) {
    this.threads = threads ?? availableParallelism()
    this.signal = signal
    this.#piscina = startThreads(this.threads)
    // Every queued task listens to the one signal; a picture has more tiles than the default limit of ten.
    setMaxListeners(0, signal)
  }

  /** @throws Interrupted once the signal has stopped the run; else what the task threw */
  async run<K extends TaskName>(task: K, ask: Tasks[K]['ask']): Promise<Tasks[K]['answer']> {
    this.checkCancelled()
    try {
      return await this.#piscina.run({ task, ...ask } as TaskMessage, { signal: this.signal })
    } catch (cause) {
      if (this.signal.aborted) throw new Interrupted({ cause })
      throw cause
    }
  }

  /** Runs one task for each item, telling the share done; answers come in the items' order. */
  async runAll<K extends TaskName, Item>(
    task: K,
    items: readonly Item[],
    ask: (item: Item) => Tasks[K]['ask'],
    onShare: (share: number) => void = () => {},
  ): Promise<Tasks[K]['answer'][]> {
    let done = 0
    return Promise.all(
      items.map(async (item) => {
        const answer = await this.run(task, ask(item))
        onShare(++done / items.length)
        return answer
      }),
    )
  }

  /** @throws Interrupted once the signal has stopped the run */
  checkCancelled(): void {
    if (this.signal.aborted) throw new Interrupted()
  }

  /**
   * New threads for old, between tasks: whatever the old ones held, captures on shared memory above all, is given back.
   */
  async renew(): Promise<void> {
    this.checkCancelled()
    await this.#piscina.destroy()
    this.#piscina = startThreads(this.threads)
  }

  async close(): Promise<void> {
    await this.#piscina.destroy()
  }
}

const startThreads = (count: number) =>
  new Piscina({
    filename: WORKER_FILE,
    minThreads: count,
    maxThreads: count,
    idleTimeout: Number.POSITIVE_INFINITY,
  })
