import { z } from 'zod'
import { outputName } from '../shared/params.js'

const FILE_WORDS = 'expected a file name that ends in .icc or .icm, without a folder'

export const profileParams = z.strictObject({
  name: outputName('profile'),
  file: z
    .string()
    .max(100)
    .regex(/^(?![.\s])[^\\/:*?"<>|\p{Cc}]+\.ic[cm]$/iu, { error: FILE_WORDS })
    .default('session.icc')
    .describe('File name of the profile, in the output folder.'),
  description: z
    .string()
    .max(200)
    .optional()
    .describe("The profile's own name, as programs list it; the pipeline's title where left out."),
})

export type ProfileParams = z.output<typeof profileParams>
