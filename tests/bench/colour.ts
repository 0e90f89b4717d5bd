import { painterCharts } from './colour/painterCharts.js'
import { photographs } from './colour/photographs.js'
import { placements } from './colour/placements.js'
import { profiles } from './colour/profiles.js'
import { simulation } from './colour/simulation.js'
import { speed } from './colour/speed.js'

/** The colour step: its fits, its finder, its profiles, its speed. */
export async function colour(): Promise<void> {
  simulation()
  await painterCharts()
  await photographs()
  placements(200)
  await profiles()
  await speed()
}
