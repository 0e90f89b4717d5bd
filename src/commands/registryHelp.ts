import { table } from './display/table.js'

interface Summarised {
  summary: string
}

/** The steps and outputs there are, for `--help`. */
export function registryHelp(
  steps: ReadonlyMap<string, Summarised>,
  outputs: ReadonlyMap<string, Summarised>,
): string {
  const lines = (of: ReadonlyMap<string, Summarised>) =>
    table(
      ['', ''],
      [...of].map(([name, { summary }]) => [name, summary]),
    ).slice(1)
  return ['Steps:', ...lines(steps), '', 'Outputs:', ...lines(outputs)].join('\n')
}
