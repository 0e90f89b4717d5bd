import { describe, expect, it } from 'vitest'
import { main } from '../../src/commands/main.js'
import { fakeTerminal } from './fakeTerminal.js'

async function finetooth(...argv: string[]) {
  const { terminal, out, err } = fakeTerminal('/nowhere')
  const status = await main(argv, terminal)
  return { status, out: out.text, err: err.text }
}

describe('a command line that is wrong', () => {
  it.each([
    [[], /^no command was given \(expected one of run, check, new, strip\)/],
    [['rnu', 'x.yaml'], /^unknown command rnu .*Nearest spelling: run\./],
    [['x.yaml'], /^unknown command x\.yaml .*finetooth run x\.yaml/],
    [['inspect', 'x.tif'], /^unknown command inspect \(expected one of run, check, new, strip\)/],
    [['run'], /^run needs a pipeline file/],
    [['new'], /^new needs a folder/],
    [['run', 'a.yaml', 'b.yaml'], /^one argument too many: b\.yaml/],
    [['run', 'a.yaml', '--ovewrite'], /^unknown option --ovewrite\. Nearest spelling: --overwrite\./],
    [['run', 'a.yaml', '--xyzzy=3'], /^unknown option --xyzzy\. See finetooth --help\./],
    [['check', 'a.yaml', '--overwrite'], /^unknown option --overwrite/],
    [['run', 'a.yaml', '--out'], /^--out needs a value/],
    [['run', 'a.yaml', '--set'], /^--set needs a value/],
    [['run', 'a.yaml', '--threads', 'many'], /^--threads: not a number of threads .*found many/],
    [['run', 'a.yaml', '--threads', '0'], /^--threads: .*from 1/],
    [['run', 'a.yaml', '--threads', '2', '--threads', '3'], /^--threads was given twice/],
    [['run', 'a.yaml', '--out', 'x', '--out', 'y'], /^--out was given twice/],
    [['run', 'nix.yaml'], /nix\.yaml: there is no such file/],
    [['check', 'nix.yaml'], /nix\.yaml: there is no such file/],
    [['run', 'scan.tif'], /scan\.tif: not a pipeline file/],
  ])('%j exits with 2 and a sentence', async (argv, message) => {
    const { status, out, err } = await finetooth(...argv)
    expect(status).toBe(2)
    expect(out).toBe('')
    expect(err).toMatch(message)
    expect(err.trimEnd().split('\n')).toHaveLength(1)
  })

  it('is told as an object too with --json', async () => {
    const { status, out, err } = await finetooth('run', 'nix.yaml', '--json')
    expect(status).toBe(2)
    expect(JSON.parse(out)).toMatchObject({
      event: 'error',
      exitStatus: 2,
      problems: [{ what: 'there is no such file' }],
    })
    expect(err).toContain('there is no such file')
  })

  it('comes with where in the program with --verbose alone', async () => {
    expect((await finetooth('run', 'nix.yaml')).err).not.toMatch(/\n\s+at /)
    expect((await finetooth('run', 'nix.yaml', '--verbose')).err).toMatch(/\n\s+at /)
  })
})

describe('help', () => {
  it.each([['--help'], ['-h']])('%s lists the commands', async (option) => {
    const { status, out } = await finetooth(option)
    expect(status).toBe(0)
    for (const command of ['run <pipeline>', 'check <pipeline>', 'new <folder>', 'strip <pipeline>'])
      expect(out).toContain(command)
  })

  it.each(['run', 'check', 'new', 'strip'])(
    'of %s lists the options that every command has',
    async (command) => {
      const { status, out } = await finetooth(command, '--help')
      expect(status).toBe(0)
      for (const option of ['--json', '--quiet', '--threads', '--help']) expect(out).toContain(option)
    },
  )

  it('of run lists every step and output with its summary', async () => {
    const { STEPS } = await import('../../src/steps/registry.js')
    const { OUTPUTS } = await import('../../src/outputs/registry.js')
    const out = (await finetooth('run', '--help')).out.replace(/\s+/g, ' ')
    expect(STEPS.size + OUTPUTS.size).toBeGreaterThan(0)
    for (const { name, summary } of STEPS.values())
      expect(out).toContain(`${name} ${summary}`.replace(/\s+/g, ' '))
    for (const { kind, summary } of OUTPUTS.values())
      expect(out).toContain(`${kind} ${summary}`.replace(/\s+/g, ' '))
  })

  it('states the version', async () => {
    expect((await finetooth('--version')).out).toMatch(/^\d+\.\d+\.\d+\n$/)
  })
})
