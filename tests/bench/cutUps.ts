import { type CutKind, placeAtRandom, RIGHT } from '../steps/stitch/randomCutUps.js'
import { row } from './row.js'

const KINDS: CutKind[] = ['flatbed', 'camera']
/** Cut-ups of each kind. */
const COUNT = 100
/** A line of progress after so many. */
const STEP = 10

/**
 * Cut-ups drawn at random: every one placed right, or refused with the right capture named; none placed wrong.
 * @param words `flatbed` or `camera` for one kind alone, `0-24` for some of the hundred
 */
export async function cutUps(words: readonly string[]): Promise<void> {
  const [from, to] = (words.find((word) => /^\d+-\d+$/.test(word)) ?? `0-${COUNT - 1}`).split('-').map(Number)
  const kinds = KINDS.filter((kind) => words.includes(kind))
  for (const kind of kinds.length ? kinds : KINDS) await placeMany(kind, from, Math.min(to, COUNT - 1))
}

async function placeMany(kind: CutKind, from: number, to: number): Promise<void> {
  let [right, refused, wrong, worstRms, worstP95] = [0, 0, 0, 0, 0]
  const started = process.cpuUsage().user
  const count = to - from + 1
  for (let seed = from; seed <= to; seed++) {
    const result = await placeAtRandom(kind, seed)
    if ('refused' in result) {
      refused++
      row(`  ${kind} ${seed} refused`, '', result.refused.join('; '))
    } else {
      const { rmsPx, p95Px } = result
      const isRight = rmsPx <= RIGHT[kind].rmsPx && p95Px <= RIGHT[kind].p95Px
      if (isRight) right++
      else wrong++
      if (!isRight) {
        row(`  ${kind} ${seed} wrong`, `${rmsPx.toFixed(3)} px RMS`, `95th percentile ${p95Px.toFixed(3)} px`)
      }
      worstRms = Math.max(worstRms, rmsPx)
      worstP95 = Math.max(worstP95, p95Px)
    }
    if ((seed - from + 1) % STEP === 0) console.log(`  ${kind}: ${seed - from + 1} of ${count}`)
  }
  const seconds = (process.cpuUsage().user - started) / 1e6 / count
  const { rmsPx, p95Px } = RIGHT[kind]
  row(`${kind}: placed right`, `${right} of ${count}`, 'all, or refused', wrong === 0)
  row(`${kind}: refused, by name`, `${refused} of ${count}`, 'as few as can be')
  row(`${kind}: placed wrong`, `${wrong} of ${count}`, 'none', wrong === 0)
  row(`${kind}: worst RMS`, `${worstRms.toFixed(3)} px`, `at most ${rmsPx} px`, worstRms <= rmsPx)
  row(`${kind}: worst 95th percentile`, `${worstP95.toFixed(3)} px`, `at most ${p95Px} px`, worstP95 <= p95Px)
  row(`${kind}: painting and placing one`, `${seconds.toFixed(1)} s of a core`, 'no bound')
}
