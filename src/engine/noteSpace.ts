import type { SpaceName } from '../colour/spaces/SpaceName.js'
import type { Pipeline } from '../pipeline/Pipeline.js'
import type { RunLog } from './RunLog.js'
import type { chooseSpace } from './renderMaster.js'

/** More than this share of the picture outside the master's space is said. */
const OUTSIDE_SHARE = 0.0005

/** Says which space the master is written in, why, and what it cannot hold. */
export function noteSpace(
  log: RunLog,
  pipeline: Pipeline,
  space: SpaceName,
  { why, shares }: Awaited<ReturnType<typeof chooseSpace>>,
): void {
  const auto = pipeline.master.space === 'auto'
  if (auto) log.say('master', why)
  const { share, maxDeltaE } = shares[space]
  log.findings('master', [{ kind: 'number', name: `outside ${space}`, value: share * 100, unit: '%' }])
  if (share > OUTSIDE_SHARE) {
    const advice = auto ? 'no standard space is larger' : 'choose a larger space, or auto'
    log.warn(
      'master',
      `${(share * 100).toFixed(2)} % of the picture lies outside ${space} and was cut off, by up to ${maxDeltaE.toFixed(1)} dE2000; ${advice}`,
    )
  }
}
