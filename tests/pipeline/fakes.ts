import { dirname, join, resolve } from 'node:path'
import { z } from 'zod'
import { RequestError } from '../../src/errors.js'
import type { Output } from '../../src/outputs/contract.js'
import type { Disk } from '../../src/pipeline/Disk.js'
import type { Registries } from '../../src/pipeline/Registries.js'
import type { Auxiliary, Step } from '../../src/steps/contract.js'
import { length, path, percent, ppi } from '../../src/units.js'

function step<P>(
  name: string,
  scope: Step['scope'],
  params: z.ZodType<P>,
  auxiliaries?: (params: P) => Auxiliary[],
): [string, Step] {
  const made: Step<P> = {
    name,
    summary: `What ${name} does.`,
    scope,
    params,
    auxiliaries,
    read: async () => ({}),
    apply: (sources) => [...sources],
    findings: () => [],
  }
  return [name, made as Step]
}

const file = (key: string, at: string | undefined, kind: Auxiliary['kind']): Auxiliary[] =>
  at === undefined ? [] : [{ key, path: at, kind }]

/** Steps with params of every sort, so that these tests do not hang on the real ones. */
export const fakeRegistries: Registries = {
  steps: new Map([
    step('flat-field', 'capture', z.strictObject({ board: path() }), ({ board }) =>
      file('board', board, 'capture'),
    ),
    step(
      'colour',
      'capture',
      z.strictObject({
        chart: path().optional(),
        reference: z.union([z.enum(['chart24-2014', 'chart24-2005']), path()]).default('chart24-2014'),
        fit: z.enum(['auto', 'matrix', 'root-polynomial']).default('auto'),
        corners: z
          .array(z.tuple([z.number(), z.number()]))
          .length(4)
          .optional(),
      }),
      ({ chart, reference }) => [
        ...file('chart', chart, 'capture'),
        ...file('reference', reference.startsWith('chart24') ? undefined : reference, 'text'),
      ],
    ),
    step('stitch', 'join', z.strictObject({ feather: length().prefault('5mm') })),
    step(
      'paper-texture',
      'picture',
      z.strictObject({
        strength: z.number().min(0).max(1).default(1),
        blank: z
          .union([z.literal('auto'), z.array(z.strictObject({ x: length(), y: length() }))])
          .default('auto'),
        reading: path().optional(),
      }),
      ({ reading }) => file('reading', reading, 'text'),
    ),
    step('paper-white', 'picture', z.strictObject({ keep: z.boolean().default(false) })),
    step(
      'hue',
      'picture',
      z.array(
        z.strictObject({
          around: z.union([z.enum(['red', 'green', 'blue']), z.number().min(0).lt(360)]),
          width: z.number().positive().default(50),
          chroma: percent().prefault('100%'),
        }),
      ),
    ),
  ]),
  outputs: new Map<string, Output>(
    (
      [
        [
          'print',
          z.strictObject({
            name: z.string().default('print'),
            sheet: z.enum(['A4', 'A3', 'A3+']).default('A4'),
            border: length().prefault('10mm'),
            ppi: ppi().default(300),
            sharpening: z
              .union([z.literal('none'), z.strictObject({ target: z.number().min(0).max(2) })])
              .optional(),
          }),
        ],
        ['card', z.strictObject({ name: z.string().default('card'), up: z.int().min(1).max(8).optional() })],
      ] as const
    ).map(([kind, params]) => [
      kind,
      {
        kind,
        summary: `What ${kind} makes.`,
        params,
        paths: () => [],
        plan: () => ({ files: [], ticket: [], findings: [] }),
        derivation: (_, { width, height, space }) => ({
          ...{ crop: { x: 0, y: 0, width, height }, width, height, space, sharpening: null },
        }),
        render: async () => {},
      } as Output,
    ]),
  ),
}

/** A disk that holds these texts by absolute path; folders are whatever lies above a file. */
export function memoryDisk(files: Record<string, string>): Disk {
  const paths = Object.keys(files).map((at) => resolve(at))
  const isFolder = (at: string) => paths.some((one) => one !== at && `${one}`.startsWith(`${at}/`))
  return {
    readText: async (at) => {
      if (files[at] === undefined) throw new RequestError({ where: at, what: 'there is no such file' })
      return files[at]
    },
    expandGlob: async (folder, pattern) =>
      paths.filter((one) => asRegExp(join(folder, pattern)).test(one)).sort(),
    exists: async (at) => at === dirname(at) || paths.includes(at) || isFolder(at),
    isFolder: async (at) => isFolder(at),
  }
}

/** Stars only: what the tests' patterns hold. */
function asRegExp(pattern: string): RegExp {
  const parts = pattern.split('*').map((part) => part.replace(/[.+?^${}()|[\]\\]/g, '\\$&'))
  return new RegExp(`^${parts.join('[^/]*')}$`)
}
