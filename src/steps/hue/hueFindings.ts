import type { Finding } from '../../findings.js'
import type { Params } from './params.js'
import type { Reading } from './readHue.js'
import { type Rule, rules } from './rules.js'
import { FULL_CHROMA, weight } from './weight.js'

/** Below this share of the picture an entry is taken to have missed what it was meant for. */
const LEAST_SHARE = 0.0005

/** What each entry touches, and warnings where it will not do what it seems to say. */
export function hueFindings({ entries }: Reading, params: Params): Finding[] {
  if (!entries.length) return [{ kind: 'statement', text: 'No hue is shifted: the list is empty.' }]
  return [
    ...params.flatMap((param, i) => warnings(param, entries[i])),
    ...entries.flatMap(({ around, share, meanDeltaE }): Finding[] => [
      { kind: 'number', name: `picture touched around ${around}`, value: share * 100, unit: '%' },
      { kind: 'number', name: `mean change around ${around}`, value: meanDeltaE, unit: 'dE2000' },
    ]),
    {
      kind: 'plot',
      title: 'Turn of each hue',
      xLabel: 'hue, degrees (Oklch)',
      yLabel: 'turn, degrees',
      series: [{ name: 'all entries together', points: turns(rules(params)) }],
    },
    {
      kind: 'table',
      title: 'Shifts of hue',
      columns: [
        'around',
        'middle, degrees',
        'width',
        'shift',
        'chroma',
        'lightness',
        'touches',
        'mean dE2000',
        'max dE2000',
      ],
      rows: entries.map(({ around, middleDegrees, share, meanDeltaE, maxDeltaE }, i) => {
        const { width, shift, chroma, lightness } = params[i]
        return [
          around,
          middleDegrees.toFixed(1),
          width,
          shift,
          `${Math.round(chroma * 100)} %`,
          lightness,
          `${(share * 100).toFixed(2)} %`,
          meanDeltaE.toFixed(2),
          maxDeltaE.toFixed(2),
        ]
      }),
    },
  ]
}

/** How far every third hue is turned where the colour is strong enough to be held in full. */
function turns(all: readonly Rule[]): [number, number][] {
  return Array.from({ length: 121 }, (_, i) => {
    const hue = (3 * i * Math.PI) / 180
    const [a, b] = [FULL_CHROMA * Math.cos(hue), FULL_CHROMA * Math.sin(hue)]
    const turn = all.reduce((sum, rule) => sum + weight(rule, a, b, FULL_CHROMA) * rule.shiftRadians, 0)
    return [3 * i, (turn * 180) / Math.PI]
  })
}

function warnings(
  { width, shift }: Params[number],
  { around, share }: Reading['entries'][number],
): Finding[] {
  const found: Finding[] = []
  // The raised cosine's steepest slope is pi / width: a larger shift lets one hue overtake the next.
  const most = width / Math.PI
  if (Math.abs(shift) > most) {
    const text = `around ${around}: a shift of ${shift} degrees in a width of ${width} makes neighbouring hues change places; shift by at most ${most.toFixed(1)} degrees, or widen it to ${Math.ceil(Math.abs(shift) * Math.PI)}`
    found.push({ kind: 'warning', text })
  }
  if (share < LEAST_SHARE) {
    const text = `around ${around}: ${(share * 100).toFixed(2)} % of the picture has such a hue, so next to nothing changes; check the hue, or widen it`
    found.push({ kind: 'warning', text })
  }
  return found
}
