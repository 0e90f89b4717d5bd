import type { Problem } from '../errors.js'
import { nearest } from '../pipeline/text/nearest.js'

/**
 * What the argument parser has to say, in our words with the nearest spelling.
 * @param message the parser's own message
 * @param argv the command line
 * @param known commands and options there are, without dashes
 */
export function usageProblem(
  message: string,
  argv: readonly string[],
  known: { commands: readonly string[]; options: readonly string[] },
): Problem {
  const todo = 'See finetooth --help'
  const [, unknown] = /^Unknown (?:argument|command)s?: ([^,\n]+)/.exec(message) ?? []
  if (unknown !== undefined) {
    const option = argv.find((one) => one.startsWith('-') && one.replace(/^-+/, '').split('=')[0] === unknown)
    if (option) {
      const near = nearest(unknown, known.options)
      return { what: `unknown option --${unknown}`, todo: near ? `Nearest spelling: --${near}` : todo }
    }
    const first = argv.find((one) => !one.startsWith('-'))
    if (first !== unknown) return { what: `one argument too many: ${unknown}`, todo }
    return unknownCommand(unknown, known.commands)
  }
  const [, needing] = /^Not enough arguments following: (\S+)/.exec(message) ?? []
  if (needing) return { what: `--${needing} needs a value`, todo }
  if (message.startsWith('Not enough non-option arguments')) {
    const command = argv.find((one) => known.commands.includes(one))
    if (!command)
      return { what: 'no command was given', expected: `one of ${known.commands.join(', ')}`, todo }
    return {
      what: `${command} needs ${command === 'new' ? 'a folder' : 'a pipeline file'}`,
      todo: `See finetooth ${command} --help`,
    }
  }
  return { what: message.split('\n')[0].replace(/\.$/, ''), todo }
}

function unknownCommand(name: string, commands: readonly string[]): Problem {
  const near = nearest(name, commands)
  const isPipeline = /\.ya?ml$/.test(name)
  return {
    what: `unknown command ${name}`,
    expected: `one of ${commands.join(', ')}`,
    todo: isPipeline ? `Did you mean finetooth run ${name}` : near && `Nearest spelling: ${near}`,
  }
}
