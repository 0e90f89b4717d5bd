import { describe, expect, it } from 'vitest'
import { CHART24 } from '../../../src/colour/charts/chart24.js'
import { CHART24_2014 } from '../../../src/colour/charts/sets/chart24Of2014.js'
import { findChart } from '../../../src/steps/colour/find/findChart.js'
import { lightView } from '../../../src/steps/colour/find/lightView.js'
import { busyGround, drawChart, seeded, TRUE_2014, uprightChart } from './drawChart.js'
import { placementOf, worstError } from './placements.js'

const LABS = CHART24_2014.labD50
const CHART = { ...CHART24, labD50: LABS }

describe('findChart', () => {
  it('finds charts laid down at random on a busy ground, under strange cameras and uneven light', () => {
    const errors = Array.from({ length: 24 }, (_, seed) => {
      const { tile, toPicture } = placementOf(seed)
      const found = findChart(lightView(tile, 1), CHART)
      return found ? worstError(toPicture, found.toView) : Number.POSITIVE_INFINITY
    })
    // The promise is 5 % of a patch; a wrong way up would be off by several patches.
    expect(errors.filter((error) => !(error < 0.05))).toEqual([])
  })

  it.each([0, 90, 180, 270])('finds a chart lying at %i degrees the right way up', (degrees) => {
    const [width, height] = [400, 400]
    const upright = uprightChart(width, height)
    const [c, s] = [
      Math.round(Math.cos((degrees * Math.PI) / 180)),
      Math.round(Math.sin((degrees * Math.PI) / 180)),
    ]
    const pitch = upright[0]
    const toPicture = [
      ...[c * pitch, -s * pitch, 200 - 2.5 * c * pitch + 1.5 * s * pitch],
      ...[s * pitch, c * pitch, 200 - 2.5 * s * pitch - 1.5 * c * pitch],
      ...[0, 0, 1],
    ]
    const found = findChart(lightView(drawChart({ width, height, toPicture, noise: 0.003 }), 1), CHART)
    expect(worstError(toPicture, found!.toView)).toBeLessThan(0.02)
    expect(found!.confidence).toBeGreaterThan(0.5)
  })

  it('finds nothing in pictures without a chart, with a chart of other colours, or half a chart', () => {
    const [width, height] = [480, 360]
    const toPicture = uprightChart(width, height)
    const none = drawChart({
      width,
      height,
      toPicture: [1, 0, 9e3, 0, 1, 9e3, 0, 0, 1],
      ground: busyGround(seeded(3), width, height),
      noise: 0.003,
    })
    expect(findChart(lightView(none, 1), CHART)).toBeUndefined()
    const random = seeded(5)
    const shuffled = TRUE_2014.map((colour) => ({ colour, key: random() }))
      .sort((a, b) => a.key - b.key)
      .map(({ colour }) => colour)
    expect(
      findChart(
        lightView(drawChart({ width, height, toPicture, colours: shuffled, noise: 0.003 }), 1),
        CHART,
      ),
    ).toBeUndefined()
    const half = [...toPicture]
    half[2] += width * 0.5
    expect(
      findChart(lightView(drawChart({ width, height, toPicture: half, noise: 0.003 }), 1), CHART),
    ).toBeUndefined()
  })

  it('finds a chart with two patches covered', () => {
    const [width, height] = [480, 360]
    const toPicture = uprightChart(width, height)
    const tile = drawChart({
      width,
      height,
      toPicture,
      noise: 0.003,
      patch: (k, _u, _v, colour) => (k === 8 || k === 16 ? [0.4, 0.4, 0.35] : colour),
    })
    expect(worstError(toPicture, findChart(lightView(tile, 1), CHART)!.toView)).toBeLessThan(0.02)
  })
})
