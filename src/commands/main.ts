import yargs, { type Argv } from 'yargs'
import { TOOL } from '../engine/tool.js'
import { RequestError } from '../errors.js'
import { OUTPUTS } from '../outputs/registry.js'
import { STEPS } from '../steps/registry.js'
import { check } from './check.js'
import { DEFAULT_READY_MADE, makeNew, readyMade } from './new.js'
import { registryHelp } from './registryHelp.js'
import { reportError } from './reportError.js'
import { run } from './run.js'
import { STRIP_OF, strip } from './strip.js'
import type { GlobalOptions, Terminal } from './Terminal.js'
import { usageProblem } from './usageProblem.js'

const COMMANDS = ['run', 'check', 'new', 'strip']
const OPTIONS = [
  'out',
  'set',
  'overwrite',
  'from',
  'to',
  'steps',
  'of',
  'output',
  'json',
  'quiet',
  'threads',
  'verbose',
  'help',
  'version',
]

type Action = (options: GlobalOptions) => Promise<void>

/**
 * The program: reads the command line, does what it asks, tells what went wrong.
 * @param argv the command line without the program
 * @returns the exit status: 0 done, 1 the work failed, 2 the request was wrong, 130 interrupted
 */
export async function main(argv: readonly string[], terminal: Terminal): Promise<number> {
  const flags = { json: argv.includes('--json'), verbose: argv.includes('--verbose') }
  try {
    const asked = await parse(argv, terminal)
    if (typeof asked === 'string') terminal.out.write(`${asked}\n`)
    else await asked.action(asked.options)
    return 0
  } catch (error) {
    return reportError(error, flags, terminal)
  }
}

/** What the command line asks for: a text to print (help, version), or something to do. */
async function parse(
  argv: readonly string[],
  terminal: Terminal,
): Promise<string | { action: Action; options: GlobalOptions }> {
  let action: Action | undefined
  const parser = yargs()
    .scriptName('finetooth')
    .usage('From captures of a watercolour to a master, prints and cards.\n\n  $0 <command> [options]')
    .parserConfiguration({
      'camel-case-expansion': false,
      'boolean-negation': false,
      'dot-notation': false,
      'greedy-arrays': false,
    })
    .locale('en')
    .option('json', {
      type: 'boolean',
      default: false,
      describe: 'One JSON object a line on standard output',
    })
    .option('quiet', { type: 'boolean', default: false, describe: 'Nothing but warnings and errors' })
    .option('threads', {
      type: 'string',
      requiresArg: true,
      describe: 'Worker threads; as many as the machine has cores where left out',
    })
    .option('verbose', { type: 'boolean', default: false, describe: 'Where an error came from' })
    .command(
      'run <pipeline>',
      'Run a pipeline: captures in; master, prints, cards, ticket and report out',
      (args) =>
        withSet(withOut(withPipeline(args)))
          .option('overwrite', {
            type: 'boolean',
            default: false,
            describe: 'Replace an earlier run in the output folder, once the new one is complete',
          })
          .epilogue(registryHelp(STEPS, OUTPUTS)),
      ({ pipeline, out, set, overwrite }) => {
        action = (options) => run({ pipeline, out, set, overwrite }, options, terminal)
      },
    )
    .command(
      'check <pipeline>',
      'Everything short of the pixels: mistakes, sizes, effective ppi, time, memory, disk',
      (args) => withSet(withOut(withPipeline(args))),
      ({ pipeline, out, set }) => {
        action = (options) => check({ pipeline, out, set }, options, terminal)
      },
    )
    .command(
      'new <folder>',
      'Make a folder with a commented pipeline file to start from',
      (args) =>
        args
          .positional('folder', { type: 'string', demandOption: true, describe: 'The folder to make' })
          .option('from', {
            type: 'string',
            requiresArg: true,
            default: DEFAULT_READY_MADE,
            describe: 'The ready-made pipeline to start from',
          })
          .epilogue(`Ready-made pipelines: ${names.join(', ')}`),
      ({ folder, from }) => {
        action = (options) => makeNew({ folder, from }, options, terminal)
      },
    )
    .command(
      'strip <pipeline>',
      'A test strip: the same crops in small steps of one parameter, labelled, to print or to look at',
      (args) =>
        withSet(withPipeline(args))
          .option('of', word(`What changes down the strip: ${STRIP_OF.join(', ')}`))
          .option('output', word('The output whose sharpening is shown; the first where left out'))
          .option(
            'from',
            word(
              'First value; texture 0, hue -12 degrees, sharpening what the file has without, at least 0.8',
            ),
          )
          .option('to', word('Last value; texture 1, hue 12 degrees, sharpening what can be reached'))
          .option('steps', word('How many values, the ends included; texture 5, hue 7, sharpening 5'))
          .option(
            'out',
            word(
              'A file ending in .png or .pdf, or a folder for both; <pipeline name>-strips where left out',
            ),
          )
          .option('overwrite', { type: 'boolean', default: false, describe: 'Replace an earlier strip' })
          .epilogue(
            'The PNG shows the crops at 100 %, the PDF is A4 with the crops at their true size: print it at 100 %. ' +
              'Each row bears the line to copy into the pipeline.',
          ),
      ({ pipeline, of, output, from, to, steps, out, set, overwrite }) => {
        const request = { pipeline, of, output, from, to, steps, out, set, overwrite }
        action = (options) => strip(request, options, terminal)
      },
    )
    .demandCommand(1)
    .check((given) => {
      const twice = ['out', 'threads', 'from', 'to', 'steps', 'of', 'output'].find((option) =>
        Array.isArray(given[option]),
      )
      if (twice) throw new Error(`--${twice} was given twice`)
      return true
    })
    .strict()
    .exitProcess(false)
    .showHelpOnFail(false)
    .help('help')
    .alias('help', 'h')
    .version(TOOL.version)
    .wrap(Math.min(110, terminal.out.columns ?? 110))
  const names = await readyMade()

  let failure: Error | undefined
  let text = ''
  const parsed = await parser.parseAsync(
    [...argv],
    {},
    (error: Error | undefined, _: unknown, output: string) => {
      failure = error
      text = output
    },
  )
  if (failure) {
    throw new RequestError(usageProblem(failure.message, argv, { commands: COMMANDS, options: OPTIONS }), {
      cause: failure,
    })
  }
  const { json, quiet, verbose, threads } = parsed
  if (!action) return text
  return { action, options: { json, quiet, verbose, threads: threadCount(threads) } }
}

function withPipeline<T>(args: Argv<T>) {
  return args.positional('pipeline', { type: 'string', demandOption: true, describe: 'The pipeline file' })
}

/** An option that takes one value. */
function word(describe: string) {
  return { type: 'string', requiresArg: true, describe } as const
}

function withOut<T>(args: Argv<T>) {
  return args.option('out', {
    type: 'string',
    requiresArg: true,
    describe: 'Output folder; <pipeline name>-out beside the pipeline file where left out',
  })
}

function withSet<T>(args: Argv<T>) {
  return args.option('set', {
    type: 'string',
    array: true,
    requiresArg: true,
    default: [] as string[],
    defaultDescription: 'none',
    describe:
      'Override a key, such as steps.paper-texture.strength=0.8; paths in it start from the current folder',
  })
}

function threadCount(text: string | undefined): number | undefined {
  if (text === undefined) return undefined
  const threads = Number(text)
  if (Number.isInteger(threads) && threads >= 1 && threads <= 1024) return threads
  throw new RequestError({
    where: '--threads',
    what: 'not a number of threads',
    expected: 'a whole number from 1',
    found: text,
  })
}
