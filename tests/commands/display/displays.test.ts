import { PassThrough } from 'node:stream'
import { describe, expect, it } from 'vitest'
import { barDisplay } from '../../../src/commands/display/barDisplay.js'
import type { Display } from '../../../src/commands/display/Display.js'
import { displayFor } from '../../../src/commands/display/displayFor.js'
import { jsonDisplay } from '../../../src/commands/display/jsonDisplay.js'
import { plainDisplay } from '../../../src/commands/display/plainDisplay.js'
import { quietDisplay } from '../../../src/commands/display/quietDisplay.js'
import type { OutputStream } from '../../../src/commands/Terminal.js'
import type { RunEvent } from '../../../src/engine/RunEvent.js'
import { fakeStream, fakeTerminal } from '../fakeTerminal.js'

const RUN: RunEvent[] = [
  { event: 'progress', stage: 'captures', share: 0, overall: 0 },
  { event: 'progress', stage: 'captures', share: 0.5, overall: 0.05 },
  { event: 'progress', stage: 'captures', share: 1, overall: 0.1 },
  { event: 'statement', step: 'stitch', text: 'four tiles joined' },
  { event: 'warning', step: 'captures', text: 'a.tif carries no profile' },
  {
    event: 'measurement',
    step: 'colour',
    name: 'left-out mean dE2000',
    value: 1.23456,
    unit: 'dE2000',
    target: 'at most 2',
    pass: true,
  },
  { event: 'measurement', step: 'stitch', name: 'registration error', value: 0.2, unit: 'px' },
  { event: 'progress', stage: 'master', share: 1, overall: 0.9 },
  { event: 'written', kind: 'print', name: 'full', path: 'prints/full.tif' },
  {
    event: 'done',
    folder: '/job/p-out',
    report: '/job/p-out/report/index.html',
    seconds: 75,
    peakMemoryBytes: 812e6,
  },
]

/** A clock that moves on by two seconds whenever it is looked at. */
const clock = () => {
  let now = 0
  return () => (now += 2000)
}

function show(display: Display) {
  for (const event of RUN) display.event(event)
  display.close()
}

describe('plain lines', () => {
  it('are one a stage started and finished, and one for what is said; warnings go to standard error', () => {
    const [out, err] = [fakeStream(), fakeStream()]
    show(plainDisplay(out, err, clock()))
    expect(out.text.split('\n')).toEqual([
      'captures ...',
      'captures done, 2.0 s',
      '  stitch: four tiles joined',
      '  colour: left-out mean dE2000 1.235 (target at most 2, met)',
      '  stitch: registration error 0.2 px',
      'master done',
      '  wrote prints/full.tif',
      'Done in 1 min 15 s, at most 812 MB of memory.',
      '',
    ])
    expect(err.text).toBe('warning: captures: a.tif carries no profile\n')
  })
})

describe('JSON lines', () => {
  const parsed = (text: string) =>
    text
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line))

  it('are the events, one object a line', () => {
    const out = fakeStream()
    show(jsonDisplay(out, false, clock()))
    expect(parsed(out.text)).toEqual(RUN)
  })

  it('thin out progress within a stage, but never its first and last', () => {
    const out = fakeStream()
    const display = jsonDisplay(out, false, () => 0)
    for (let i = 0; i <= 1000; i++)
      display.event({ event: 'progress', stage: 'a', share: i / 1000, overall: 0 })
    display.event({ event: 'progress', stage: 'b', share: 0.3, overall: 0 })
    expect(parsed(out.text).map(({ stage, share }) => [stage, share])).toEqual([
      ['a', 0],
      ['a', 1],
      ['b', 0.3],
    ])
  })

  it('are warnings alone when quiet', () => {
    const out = fakeStream()
    show(jsonDisplay(out, true, clock()))
    expect(parsed(out.text)).toEqual([RUN[4]])
  })
})

describe('quiet', () => {
  it('is warnings alone', () => {
    const err = fakeStream()
    show(quietDisplay(err))
    expect(err.text).toBe('warning: captures: a.tif carries no profile\n')
  })
})

describe('a terminal', () => {
  const terminalStream = () => {
    const stream = new PassThrough() as PassThrough & { isTTY: boolean; columns: number }
    Object.assign(stream, { isTTY: true, columns: 100 })
    let text = ''
    stream.on('data', (chunk) => (text += chunk))
    return { stream: stream as unknown as OutputStream, text: () => text }
  }

  it('shows the stage, the share done and the time left, and what is said above the bar', async () => {
    const { stream, text } = terminalStream()
    const display = barDisplay(stream, stream, clock())
    display.event({ event: 'progress', stage: 'master', share: 0.3, overall: 0.5 })
    display.event(RUN[3])
    display.event(RUN[4])
    // The bar draws itself ten times a second.
    await new Promise((resolve) => setTimeout(resolve, 250))
    display.close()
    await new Promise((resolve) => setImmediate(resolve))
    // 2 s passed, half is done: 2 s are left.
    expect(text()).toContain('############............ 50 %  2.0 s left  master')
    expect(text()).toContain('  stitch: four tiles joined\n')
    expect(text()).toContain('warning: captures: a.tif carries no profile\n')
  })

  it('ends with plain lines', async () => {
    const { stream, text } = terminalStream()
    const err = fakeStream()
    show(barDisplay(stream, err, clock()))
    await new Promise((resolve) => setImmediate(resolve))
    expect(text()).toMatch(/Done in 1 min 15 s, at most 812 MB of memory\.\n$/)
    expect(err.text).toBe('warning: captures: a.tif carries no profile\n')
  })
})

describe('the display', () => {
  const options = { json: false, quiet: false, verbose: false }
  const output = (isTTY: boolean, more: object) => {
    const { terminal, out, err } = fakeTerminal('/', isTTY)
    const display = displayFor({ ...options, ...more }, terminal)
    display.event(RUN[3])
    display.close()
    return [out.text, err.text]
  }

  it('is chosen by the options before the terminal', () => {
    expect(output(false, {})[0]).toBe('  stitch: four tiles joined\n')
    expect(output(true, { json: true })[0]).toBe(`${JSON.stringify(RUN[3])}\n`)
    expect(output(true, { quiet: true })).toEqual(['', ''])
  })
})
