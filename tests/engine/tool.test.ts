import { readFileSync } from 'node:fs'
import { resolve } from 'node:path'
import { expect, it } from 'vitest'
import { TOOL } from '../../src/engine/tool.js'

it('states the name and version of the package', () => {
  const { name, version } = JSON.parse(
    readFileSync(resolve(import.meta.dirname, '../../package.json'), 'utf8'),
  )
  expect(TOOL).toEqual({ name, version })
})
