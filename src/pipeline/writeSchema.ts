import { join } from 'node:path'
import { exists } from '../files/exists.js'
import { readText } from '../files/readText.js'
import { writeText } from '../files/writeText.js'
import { OUTPUTS } from '../outputs/registry.js'
import { STEPS } from '../steps/registry.js'
import { packageFolder } from './packageFolder.js'
import { schemaText } from './schema/schemaText.js'

// Part of the build: brings pipelines/pipeline.schema.json up to the schemas. Untouched where nothing changed.
const file = join(await packageFolder({ exists }), 'pipelines', 'pipeline.schema.json')
const text = schemaText(STEPS, OUTPUTS)
if (!(await exists(file)) || (await readText(file)) !== text) await writeText(file, text)
