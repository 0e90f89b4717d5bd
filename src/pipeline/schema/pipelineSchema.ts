import { z } from 'zod'
import { headSchema } from './headSchema.js'

/** What the schema needs of a step or an output. */
export interface Described {
  summary: string
  params: z.ZodType
}

/**
 * The whole pipeline file as editors see it: the head, and the steps and outputs of the registries.
 * @param steps steps by name
 * @param outputs outputs by kind
 */
export function pipelineSchema(
  steps: ReadonlyMap<string, Described>,
  outputs: ReadonlyMap<string, Described>,
) {
  return headSchema
    .extend({
      steps: z
        .array(entries(steps))
        .default([])
        .describe('From the captures to the master, run in this order; each at most once.'),
      outputs: z.array(entries(outputs)).default([]).describe('What is made from the master.'),
    })
    .meta({
      title: 'Pipeline file of finetooth, format 1',
      description: 'What was captured, the steps to the master, and what is made from it.',
    })
}

/** A list entry: a bare name, or one name with its params. `color` may stand for `colour`. */
function entries(registry: ReadonlyMap<string, Described>) {
  const spelled = [...registry].flatMap(([name, described]) =>
    name.includes('colour')
      ? [[name, described] as const, [name.replaceAll('colour', 'color'), described] as const]
      : [[name, described] as const],
  )
  if (spelled.length === 0) return z.never()
  const bareName = z.enum(spelled.map(([name]) => name) as [string, ...string[]])
  const withParams = z
    .strictObject(
      Object.fromEntries(
        spelled.map(([name, { params, summary }]) => [name, z.nullable(params).optional().describe(summary)]),
      ),
    )
    .meta({ minProperties: 1, maxProperties: 1 })
  return z.union([bareName, withParams])
}
