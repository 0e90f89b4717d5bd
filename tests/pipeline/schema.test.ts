import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { Ajv2020 } from 'ajv/dist/2020.js'
import { describe, expect, it } from 'vitest'
import { parse } from 'yaml'
import { OUTPUTS } from '../../src/outputs/registry.js'
import { schemaText } from '../../src/pipeline/schema/schemaText.js'
import { STEPS } from '../../src/steps/registry.js'
import { fakeRegistries } from './fakes.js'

const PIPELINES = join(import.meta.dirname, '../../pipelines')
const READY_MADE = ['flatbed-single', 'flatbed-tiles', 'camera-frames', 'cards-only', 'prints-only']

describe('pipeline.schema.json', () => {
  it('is current', async () => {
    expect(await readFile(join(PIPELINES, 'pipeline.schema.json'), 'utf8')).toBe(schemaText(STEPS, OUTPUTS))
  })

  it.each(READY_MADE)('accepts %s.yaml, which carries the editor hint', async (name) => {
    const text = await readFile(join(PIPELINES, `${name}.yaml`), 'utf8')
    const validate = new Ajv2020({ strict: false }).compile(JSON.parse(schemaText(STEPS, OUTPUTS)))
    expect(validate(parse(text)), JSON.stringify(validate.errors)).toBe(true)
    expect(text.split('\n')[0]).toBe('# yaml-language-server: $schema=./pipeline.schema.json')
  })
})

describe('the schema of any steps and outputs', () => {
  const schema = JSON.parse(schemaText(fakeRegistries.steps, fakeRegistries.outputs))
  // Ajv's strict mode refuses keywords that JSON Schema does not know.
  const validate = new Ajv2020({ strict: true, strictRequired: false, allowUnionTypes: true }).compile(schema)
  const ONE = 'captures: { files: [a.tif] }\n'

  it.each([
    ['captures alone', ONE],
    ['bare names', `${ONE}steps: [stitch, hue]\noutputs: [print]\n`],
    ['names with nothing after the colon', `${ONE}steps:\n  - stitch:\n  - paper-white: {}\n`],
    ['the other spelling', `${ONE}steps:\n  - color: { fit: matrix }\n  - color\n`],
    ['objects among the files', 'captures: { files: [a.tif, { file: b.tif, turned: 90 }], profile: none }\n'],
    ['a base', 'extends: flatbed-single\ncaptures: { files: [a.tif] }\n'],
    [
      'lengths and percentages',
      `${ONE}steps:\n  - hue: [{ around: blue, chroma: 90% }]\noutputs:\n  - print: { border: 1.5cm }\n`,
    ],
  ])('accepts %s', (_, text) => {
    expect(validate(parse(text)), JSON.stringify(validate.errors)).toBe(true)
  })

  it.each([
    ['neither captures nor a base', 'title: x\n'],
    ['an unknown key', `${ONE}titel: x\n`],
    ['an unknown step', `${ONE}steps: [stich]\n`],
    ['two names in one entry', `${ONE}steps:\n  - stitch:\n    paper-white:\n`],
    ['a length without its unit', `${ONE}outputs:\n  - print: { border: 15 }\n`],
    ['a step after another name', `${ONE}steps:\n  - print\n`],
  ])('refuses %s', (_, text) => {
    expect(validate(parse(text))).toBe(false)
  })

  it('says defaults as a person writes them, and what each key is for', () => {
    const [, withParams] = schema.properties.outputs.items.anyOf
    const [print] = withParams.properties.print.anyOf
    expect(print.properties.border.default).toBe('10mm')
    expect(print.properties.ppi.default).toBe(300)
    expect(withParams.properties.print.description).toBe('What print makes.')
    expect(schema.properties.master.properties.space.enum).toContain('ROMM RGB')
    expect(schema.title).toContain('finetooth')
    expect(JSON.stringify(schema)).not.toMatch(/"(quantity|path)":/)
  })
})
