import { describe, expect, it } from 'vitest'
import { reportError } from '../../src/commands/reportError.js'
import { Interrupted, RequestError, WorkError } from '../../src/errors.js'
import { fakeTerminal } from './fakeTerminal.js'

const PLAIN = { json: false, verbose: false }

describe('what went wrong', () => {
  it.each([
    ['a request', new RequestError({ what: 'no' }), 2, 'no.\n'],
    [
      'work',
      new WorkError({ what: 'no', where: 'a.tif', expected: 'x', found: 'y', todo: 'Do z' }),
      1,
      'a.tif: no (expected x, found y). Do z.\n',
    ],
    ['an interruption', new Interrupted(), 130, 'interrupted; nothing was left half written.\n'],
  ])('in %s has its exit status and its sentence', (_, error, status, text) => {
    const { terminal, out, err } = fakeTerminal()
    expect(reportError(error, PLAIN, terminal)).toBe(status)
    expect(err.text).toBe(text)
    expect(out.text).toBe('')
  })

  it('unexpectedly is 1, and asks for --verbose', () => {
    const { terminal, err } = fakeTerminal()
    expect(reportError(new TypeError('x is not a function'), PLAIN, terminal)).toBe(1)
    expect(err.text).toMatch(/^unexpected failure: x is not a function\n.*--verbose/)
    expect(err.text).not.toMatch(/\n\s+at /)
  })

  it('after an interruption is the interruption, whatever broke on the way', () => {
    const { terminal, err, stop } = fakeTerminal()
    stop()
    expect(reportError(new Error('worker gone'), PLAIN, terminal)).toBe(130)
    expect(err.text).toMatch(/^interrupted/)
  })

  it('many times over is counted, and cut short for people only', () => {
    const { terminal, out, err } = fakeTerminal()
    const error = new RequestError(Array.from({ length: 50 }, (_, i) => ({ what: `mistake ${i}` })))
    reportError(error, { json: true, verbose: false }, terminal)
    const lines = err.text.trimEnd().split('\n')
    expect(lines).toHaveLength(42)
    expect(lines.slice(-2)).toEqual(['... and 10 more', '50 mistakes. Nothing was changed.'])
    expect(JSON.parse(out.text).problems).toHaveLength(50)
  })

  it('has its cause with --verbose', () => {
    const { terminal, err } = fakeTerminal()
    const error = new WorkError({ what: 'no' }, { cause: new Error('ENOSPC') })
    reportError(error, { json: false, verbose: true }, terminal)
    expect(err.text).toContain('ENOSPC')
    expect(err.text).toMatch(/\n\s+at /)
  })
})
