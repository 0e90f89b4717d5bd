import type { Source } from '../../raster/Source.js'
import { type GridWeights, gridWeights } from './gridWeights.js'
import type { Reading } from './Reading.js'

/** A source with its black taken off and the lamp's unevenness divided out: (value - black) x gain. */
export function flattenedSource(
  source: Source,
  {
    gains,
    columns,
    rows,
    blackLevel,
    dark,
  }: Pick<Reading, 'gains' | 'columns' | 'rows' | 'blackLevel' | 'dark'>,
): Source {
  const { width, height } = source
  const across = gridWeights(width, columns)
  const down = gridWeights(height, rows)
  return {
    width,
    height,
    region(rect) {
      const tile = source.region(rect)
      tile.planes.forEach((plane, c) => {
        for (let row = 0; row < rect.height; row++) {
          const line = gridRow(gains[c], columns, down, rect.y + row)
          const values = plane.subarray(row * rect.width, (row + 1) * rect.width)
          if (dark) takeOff(values, gridRow(dark.levels[c], columns, down, rect.y + row), across, rect.x)
          multiplyRow(values, line, across, rect.x, blackLevel)
        }
      })
      return tile
    },
  }
}

/** The grid's values along one row of the picture, at its columns of nodes. */
function gridRow(
  grid: readonly number[],
  columns: number,
  { first, weights }: GridWeights,
  y: number,
): Float64Array {
  const line = new Float64Array(columns)
  for (let k = 0; k < 4; k++) {
    const from = (first[y] + k) * columns
    const weight = weights[4 * y + k]
    for (let i = 0; i < columns; i++) line[i] += weight * grid[from + i]
  }
  return line
}

/** Takes the dark frame's level off each value of a row. */
function takeOff(values: Float32Array, line: Float64Array, { first, weights }: GridWeights, left: number) {
  for (let p = 0; p < values.length; p++) {
    const w = 4 * (left + p)
    const n = first[left + p]
    for (let k = 0; k < 4; k++) values[p] -= weights[w + k] * line[n + k]
  }
}

function multiplyRow(
  values: Float32Array,
  line: Float64Array,
  { first, weights }: GridWeights,
  left: number,
  black: number,
): void {
  for (let p = 0; p < values.length; p++) {
    const x = left + p
    const n = first[x]
    const w = 4 * x
    const gain =
      weights[w] * line[n] +
      weights[w + 1] * line[n + 1] +
      weights[w + 2] * line[n + 2] +
      weights[w + 3] * line[n + 3]
    values[p] = (values[p] - black) * gain
  }
}
