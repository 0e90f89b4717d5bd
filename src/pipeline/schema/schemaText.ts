import { z } from 'zod'
import type { Length } from '../../units.js'
import { type Described, pipelineSchema } from './pipelineSchema.js'
import { definition, metaOf, unwrapped } from './walk.js'

const QUANTITY_WORDS = {
  length: 'A length with its unit: 15mm, 1.5cm, 0.5in, 40px.',
  percent: 'A percentage with its sign: 90%.',
  ppi: 'Pixels per inch.',
}

/**
 * The text of `pipeline.schema.json`: JSON Schema 2020-12 of what a person may write, for editors.
 * @returns JSON with two blanks of indentation and a final line end
 */
export function schemaText(
  steps: ReadonlyMap<string, Described>,
  outputs: ReadonlyMap<string, Described>,
): string {
  const schema = z.toJSONSchema(pipelineSchema(steps, outputs), {
    io: 'input',
    unrepresentable: 'any',
    override({ zodSchema, jsonSchema }) {
      const { quantity } = metaOf(unwrapped(zodSchema))
      delete jsonSchema.path
      delete jsonSchema.quantity
      if (quantity) jsonSchema.description ??= QUANTITY_WORDS[quantity]
      const def = definition(zodSchema)
      if (def.type !== 'default') return
      const written = asWritten((def as { defaultValue?: unknown }).defaultValue, quantity)
      if (written === undefined) delete jsonSchema.default
      else jsonSchema.default = written as typeof jsonSchema.default
    },
  })
  // What is required may stand in the file that this one builds on.
  delete schema.required
  schema.anyOf = [{ required: ['captures'] }, { required: ['extends'] }]
  delete (schema.properties!.captures as typeof schema).required
  return `${JSON.stringify(schema, null, 2)}\n`
}

/** A default as a person would write it: lengths and percentages with their unit. */
function asWritten(value: unknown, quantity: string | undefined): unknown {
  if (quantity === 'length' && typeof value === 'object')
    return `${(value as Length).value}${(value as Length).unit}`
  if (quantity === 'percent' && typeof value === 'number') return `${Number((value * 100).toPrecision(12))}%`
  return value
}
