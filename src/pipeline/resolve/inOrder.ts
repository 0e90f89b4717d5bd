import type { Problem } from '../../errors.js'

/**
 * Mistakes in the order a person mends them, each told once: the pipeline file from top to bottom, the files it
 * builds on, then what was set on the command line.
 * @param sources the pipeline file as it is shown, then each `--set ...`
 */
export function inOrder(problems: readonly Problem[], [file, ...sets]: readonly string[]): Problem[] {
  const unique = [
    ...new Map(problems.map((problem) => [`${problem.where} ${problem.what}`, problem])).values(),
  ]
  const layers = [file]
  const order = ({ where = '' }: Problem): [layer: number, line: number, column: number] => {
    const [, source, line, column] = /^(.*):(\d+):(\d+)$/.exec(where) ?? []
    if (sets.includes(where) || source === undefined) return [Number.MAX_SAFE_INTEGER, sets.indexOf(where), 0]
    if (!layers.includes(source)) layers.push(source)
    return [layers.indexOf(source), Number(line), Number(column)]
  }
  return unique
    .map((problem) => ({ problem, at: order(problem) }))
    .sort(({ at: a }, { at: b }) => a[0] - b[0] || a[1] - b[1] || a[2] - b[2])
    .map(({ problem }) => problem)
}
