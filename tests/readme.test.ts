import { readFileSync } from 'node:fs'
import { resolve } from 'node:path'
import { expect, it } from 'vitest'
import { CAUTIONS } from '../src/outputs/cautions.js'
import { OUTPUTS } from '../src/outputs/registry.js'
import { STEPS } from '../src/steps/registry.js'

const readme = readFileSync(resolve(import.meta.dirname, '../README.md'), 'utf8')

it('lists every step and output with the words of its descriptor', () => {
  const rows = [
    ...[...STEPS.values()].map(({ name, summary }) => `| \`${name}\` | ${summary} |`),
    ...[...OUTPUTS.values()].map(({ kind, summary }) => `| \`${kind}\` | ${summary} |`),
  ]
  expect(rows.length).toBeGreaterThan(7)
  for (const row of rows) expect(readme).toContain(row)
})

it('prints every caution', () => {
  for (const caution of CAUTIONS) expect(readme).toContain(`- ${caution}`)
})
