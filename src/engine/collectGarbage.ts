import { setFlagsFromString } from 'node:v8'
import { runInNewContext } from 'node:vm'

setFlagsFromString('--expose-gc')
const collect = runInNewContext('gc') as () => void

/**
 * Gives back at once what nobody refers to any more. Between a run's large phases only: the engine counts typed arrays
 * late, and hundreds of megabytes of read samples would lie beside the master otherwise.
 */
export function collectGarbage(): void {
  collect()
}
