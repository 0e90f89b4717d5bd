import { describe, expect, it } from 'vitest'
import { load, mistakes } from './load.js'

const ONE = 'captures: { files: [captures/scan.tif] }\n'

describe('a pipeline', () => {
  it('is valid with captures and a list of step names alone, and gets every default', async () => {
    const { keyAt, ...rest } = await load(
      `${ONE}steps: [stitch, paper-texture, hue]\noutputs: [print, card]\n`,
    )
    expect(rest).toEqual({
      file: '/job/p.yaml',
      title: 'p',
      credit: { creator: '', rights: '', contact: '' },
      captures: {
        kind: 'flatbed',
        files: [{ path: '/job/captures/scan.tif', label: 'captures/scan.tif', turned: 0 }],
        ppi: undefined,
        profile: undefined,
        sizeMm: undefined,
      },
      steps: [
        { name: 'stitch', params: { feather: { value: 5, unit: 'mm' } } },
        { name: 'paper-texture', params: { strength: 1, blank: 'auto' } },
        { name: 'hue', params: [] },
      ],
      master: { space: 'auto', depth: 16, file: 'master.tif' },
      outputs: [
        {
          kind: 'print',
          name: 'print',
          params: { name: 'print', sheet: 'A4', border: { value: 10, unit: 'mm' }, ppi: 300 },
        },
        { kind: 'card', name: 'card', params: { name: 'card' } },
      ],
      report: true,
    })
    expect(keyAt('outputs')).toBe('p.yaml:3:1')
  })

  it('takes blank keys for what they default to', async () => {
    const blank = 'title:\ncredit:\nmaster:\n  space:\nsteps:\n  - stitch:\noutputs:\nreport:\n'
    const { title, credit, master, steps, outputs, report } = await load(ONE + blank)
    expect({ title, credit, master, steps, outputs, report }).toMatchObject({
      title: 'p',
      credit: { creator: '' },
      master: { space: 'auto' },
      steps: [{ name: 'stitch' }],
      outputs: [],
      report: true,
    })
  })

  it('makes lengths, percentages and the sheet size numbers', async () => {
    const pipeline = await load(
      'captures: { files: [captures/scan.tif], ppi: 600, size: { width: 42cm, height: 10in } }\nsteps:\n  - hue: [ { around: 30, chroma: 50% } ]\n',
    )
    // 10 in = 254 mm exactly (international inch, 1959).
    expect(pipeline.captures.sizeMm).toEqual({ width: 420, height: 254 })
    expect(pipeline.captures.ppi).toBe(600)
    expect(pipeline.steps[0].params).toEqual([{ around: 30, width: 50, chroma: 0.5 }])
  })

  it.each([
    ['srgb', 'sRGB'],
    ['display-p3', 'Display P3'],
    ['DISPLAYP3', 'Display P3'],
    ['romm-rgb', 'ROMM RGB'],
    ['oprgb', 'opRGB'],
    ['Auto', 'auto'],
  ])('takes the space %s for %s: case and hyphens do not matter', async (written, space) => {
    expect((await load(`${ONE}master: { space: ${written} }\n`)).master.space).toBe(space)
  })

  it('takes color wherever colour stands', async () => {
    const text = `${ONE}steps:\n  - color: { chart: captures/chart.tif }\n`
    const pipeline = await load(text)
    expect(pipeline.steps[0].name).toBe('colour')
    expect((await load(`${ONE}steps: [color]\n`)).steps[0].name).toBe('colour')
    expect(pipeline.keyAt('steps.0.color.chart')).toBe('p.yaml:3:14')
    expect((await load(text, ['steps.color.fit=matrix'])).steps[0].params).toMatchObject({ fit: 'matrix' })
  })

  it('finds the files of steps from the pipeline file, and keeps words as words', async () => {
    const pipeline = await load(
      `captures: { files: [captures/scan.tif], profile: scanner.icc }\nsteps:\n  - flat-field: { board: captures/board.tif }\n  - colour: { reference: CHART24-2005 }\n`,
    )
    expect(pipeline.captures.profile).toBe('/job/scanner.icc')
    expect(pipeline.steps.map(({ params }) => params)).toMatchObject([
      { board: '/job/captures/board.tif' },
      { reference: 'chart24-2005' },
    ])
    expect((await load('captures: { files: [captures/scan.tif], profile: none }\n')).captures.profile).toBe(
      'none',
    )
  })

  it('can leave the report out', async () => {
    expect((await load(`${ONE}report: false\n`)).report).toBe(false)
    expect((await load(`${ONE}report: { }\n`)).report).toBe(true)
  })

  it('knows where each key stands, or the nearest key above it', async () => {
    const { keyAt } = await load(`${ONE}steps:\n  - stitch\n  - paper-texture: { strength: 1 }\n`)
    expect(keyAt('steps.1.paper-texture.strength')).toBe('p.yaml:4:22')
    expect(keyAt('steps.paper-texture.strength')).toBe('p.yaml:4:22')
    expect(keyAt('steps.paper-texture.blank')).toBe('p.yaml:4:5')
    expect(keyAt('steps.stitch.feather')).toBe('p.yaml:3:5')
    expect(keyAt('captures.files.0')).toBe('p.yaml:1:21')
    expect(keyAt('master.space')).toBe('p.yaml:1:1')
  })
})

describe('captures', () => {
  const files = async (list: string, more: Record<string, string> = {}) =>
    (await load(`captures:\n  files:\n${list}steps: [stitch]\n`, [], more)).captures.files.map(
      ({ label, turned }) => [label, turned],
    )

  it('are expanded from patterns in the order of their numbers', async () => {
    // The memory disk hands them over in this order; the real one is held to natural order by the tests of files/.
    expect(await files('    - captures/tile-*.tif\n')).toEqual([
      ['captures/tile-1.tif', 0],
      ['captures/tile-2.tif', 0],
    ])
  })

  it('keep what is said of them by name where a pattern takes them too', async () => {
    const list = '    - captures/tile-*.tif\n    - { file: captures/tile-2.tif, turned: 180 }\n'
    expect(await files(list)).toEqual([
      ['captures/tile-1.tif', 0],
      ['captures/tile-2.tif', 180],
    ])
  })

  it('stand once where two patterns take them', async () => {
    expect(await files('    - captures/tile-1*\n    - captures/tile-*.tif\n')).toHaveLength(2)
  })

  it('may have names that look like patterns', async () => {
    expect(await files('    - "captures/scan[1].tif"\n', { '/job/captures/scan[1].tif': '' })).toEqual([
      ['captures/scan[1].tif', 0],
    ])
  })

  it('may hold the chart themselves where they are named', async () => {
    const text =
      'captures: { files: [captures/scan.tif] }\nsteps:\n  - colour: { chart: captures/scan.tif }\n'
    expect(await mistakes(text)).toEqual([])
  })
})

describe('extends', () => {
  const HOUSE =
    'title: House\ncredit: { creator: A, rights: B }\ncaptures:\n  kind: camera\n  profile: lamp.icc\n  files: [none.tif]\nsteps: [stitch, paper-white]\noutputs:\n  - print: { name: a }\n'
  const more = { '/house/base.yaml': HOUSE, '/house/lamp.icc': '' }
  const OWN =
    'extends: ../house/base.yaml\ncredit: { rights: C }\ncaptures: { files: [captures/scan.tif] }\noutputs: [card]\n'

  it('merges keys, replaces lists, and keeps paths where they were written', async () => {
    const pipeline = await load(OWN, [], more)
    expect(pipeline.title).toBe('House')
    expect(pipeline.credit).toEqual({ creator: 'A', rights: 'C', contact: '' })
    expect(pipeline.captures).toMatchObject({
      kind: 'camera',
      profile: '/house/lamp.icc',
      files: [{ path: '/job/captures/scan.tif' }],
    })
    expect(pipeline.steps.map(({ name }) => name)).toEqual(['stitch', 'paper-white'])
    expect(pipeline.outputs.map(({ kind }) => kind)).toEqual(['card'])
    expect(pipeline.keyAt('title')).toBe('/house/base.yaml:1:1')
    expect(pipeline.keyAt('credit.rights')).toBe('p.yaml:2:11')
  })

  it('tells mistakes in the file that holds them', async () => {
    const found = await mistakes(OWN, [], {
      ...more,
      '/house/base.yaml': HOUSE.replace('paper-white', 'paper-wite'),
    })
    expect(found).toHaveLength(1)
    expect(found[0]).toMatch(/^\/house\/base\.yaml:7:17: steps\.1: unknown step paper-wite/)
  })

  it('goes through several files', async () => {
    const middle = { '/house/middle.yaml': 'extends: base.yaml\ntitle: Middle\n' }
    const { title, credit } = await load(OWN.replace('base', 'middle'), [], { ...more, ...middle })
    expect({ title, creator: credit.creator }).toEqual({ title: 'Middle', creator: 'A' })
  })

  it.each([
    [
      'a file that is not there',
      'extends: nix.yaml\n',
      {},
      /^p\.yaml:1:10: extends: there is no file nix\.yaml/,
    ],
    ['itself', 'extends: p.yaml\n', {}, /^p\.yaml:1:10: .*circle: p\.yaml > p\.yaml/],
    [
      'a circle',
      'extends: ../house/a.yaml\n',
      { '/house/a.yaml': 'extends: ../job/p.yaml\n' },
      /^\/house\/a\.yaml:1:10: .*circle: p\.yaml > \/house\/a\.yaml > p\.yaml/,
    ],
    ['a number', `extends: 3\n${ONE}`, {}, /^p\.yaml:1:10: extends: wrong type.*path/],
    ['a picture', 'extends: captures/scan.tif\n', {}, /^captures\/scan\.tif: not a pipeline file/],
  ])('refuses %s', async (_, text, files, message) => {
    const found = await mistakes(text, [], { ...more, ...files })
    expect(found).toHaveLength(1)
    expect(found[0]).toMatch(message)
  })
})
