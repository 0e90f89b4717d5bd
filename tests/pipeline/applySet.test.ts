import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { stringify } from 'yaml'
import { RequestError } from '../../src/errors.js'
import { applySet } from '../../src/pipeline/text/applySet.js'
import { nodeAt, plain } from '../../src/pipeline/text/Node.js'
import { parseText } from '../../src/pipeline/text/parseText.js'
import { load, mistakes } from './load.js'

const TEXT =
  'captures: { files: [captures/scan.tif] }\nsteps:\n  - stitch\n  - paper-texture: { strength: 1 }\noutputs:\n  - print: { name: full }\n  - print: { name: small }\n  - card\n'
const tree = (text: string) => parseText(text, { source: 'p.yaml', folder: '/job', line: 1, column: 1 }).node!
const set = (text: string, ...assignments: string[]) =>
  plain(assignments.reduce((node, one) => applySet(node, one, '/here'), tree(text)))

describe('--set', () => {
  it.each<[string, (string | number)[], unknown]>([
    ['steps.paper-texture.strength=0.8', ['steps', 1, 'paper-texture', 'strength'], 0.8],
    ['steps.1.paper-texture.strength=0.8', ['steps', 1, 'paper-texture', 'strength'], 0.8],
    ['steps.1.strength=0.8', ['steps', 1, 'paper-texture', 'strength'], 0.8],
    ['steps.stitch.feather=9mm', ['steps', 0, 'stitch', 'feather'], '9mm'],
    ['steps.stitch={feather: 1mm}', ['steps', 0, 'stitch'], { feather: '1mm' }],
    ['outputs.small.ppi=240', ['outputs', 1, 'print', 'ppi'], 240],
    ['outputs.card.up=2', ['outputs', 2, 'card', 'up'], 2],
    ['outputs.0.name=huge', ['outputs', 0, 'print', 'name'], 'huge'],
    ['captures.files.0=other.tif', ['captures', 'files'], ['other.tif']],
    ['captures.files.1=second.tif', ['captures', 'files'], ['captures/scan.tif', 'second.tif']],
    ['captures.files=[a.tif, b.tif]', ['captures', 'files'], ['a.tif', 'b.tif']],
    ['captures.size.width=420mm', ['captures', 'size', 'width'], '420mm'],
    ['master.space=opRGB', ['master'], { space: 'opRGB' }],
    ['report=false', ['report'], false],
    ['title=a=b', ['title'], 'a=b'],
    ['title="Harbour: low tide"', ['title'], 'Harbour: low tide'],
  ])('%s', (assignment, path, value) => {
    const after = nodeAt(applySet(tree(TEXT), assignment, '/'), path)
    expect(after && plain(after)).toEqual(value)
  })

  it('finds an output by a name that holds color', () => {
    const named = tree('outputs:\n  - print: { name: color-proof }\n')
    const after = nodeAt(applySet(named, 'outputs.color-proof.ppi=360', '/'), ['outputs', 0, 'print'])
    expect(after && plain(after)).toEqual({ name: 'color-proof', ppi: 360 })
  })

  it('replaces a whole entry by its bare name', () => {
    expect(set(TEXT, 'steps.1=paper-white')).toMatchObject({ steps: [{}, {}] })
    expect(
      nodeAt(applySet(tree(TEXT), 'steps.1=paper-white', '/'), ['steps', 1, 'paper-white']),
    ).toBeDefined()
  })

  it('is applied in order, the last one wins', () => {
    expect(set(TEXT, 'title=a', 'title=b')).toMatchObject({ title: 'b' })
  })

  it('leaves the tree it was given as it is', () => {
    const before = tree(TEXT)
    const copy = JSON.stringify(plain(before))
    applySet(before, 'steps.paper-texture.strength=0.5', '/')
    expect(JSON.stringify(plain(before))).toBe(copy)
  })

  it.each([
    ['strength', /not an assignment.*key\.path=value/],
    ['=3', /not an assignment/],
    ['a..b=3', /not an assignment/],
    ['steps.hue.width=3', /steps has no entry hue.*one of stitch, paper-texture/],
    ['steps.paper-textur.strength=3', /Nearest spelling: paper-texture/],
    ['steps.7.strength=3', /steps is a list and has no place 7 .*0 to 2/],
    ['outputs.print.ppi=3', /outputs has 2 entries of the kind print.*full, small, card/],
    ['captures.files.first=3', /captures\.files is a list and has no place first/],
    ['captures.files.0.turned=90', /captures\.files\.0 holds a single value and has no key turned/],
    ['title=[a', /YAML/],
    ['extends=house.yaml', /extends is followed before anything is set/],
  ])('refuses %s', (assignment, message) => {
    const attempt = () => set(TEXT, assignment)
    expect(attempt).toThrow(RequestError)
    expect(attempt).toThrow(message)
    expect(attempt).toThrow(`--set ${assignment}: `)
  })

  it('says where there is no step or output to set, and adds the first by its number', async () => {
    const bare = 'captures: { files: [a.tif] }\n'
    expect(() => set(bare, 'steps.paper-texture.strength=0.5')).toThrow(/steps has no entry paper-texture/)
    expect(() => set(bare, 'outputs.wall.ppi=240')).toThrow(/outputs has no entry wall/)
    expect(set(bare, 'steps.0=paper-white', 'steps.paper-white.keep=true')).toMatchObject({
      steps: [{ 'paper-white': { keep: true } }],
    })
  })

  it('is checked like the file, and told by its own words', async () => {
    const found = await mistakes(TEXT, ['steps.paper-texture.strength=2', 'titel=x', 'master.space=rgb'])
    expect(found).toHaveLength(3)
    expect(found[0]).toMatch(
      /^--set steps\.paper-texture\.strength=2: steps\.1\.paper-texture\.strength: out of range/,
    )
    expect(found[1]).toMatch(/^--set titel=x: titel: unknown key/)
    expect(found[2]).toMatch(/^--set master\.space=rgb: master\.space: unknown value/)
  })

  it('is told together with the mistakes of the file', async () => {
    const found = await mistakes(`titel: x\n${TEXT}`, ['steps.nix.a=1'])
    expect(found.map((one) => one.slice(0, 12))).toEqual(['p.yaml:1:1: ', '--set steps.'])
  })

  it('finds files from the current folder, not from the pipeline file', async () => {
    const set = ['captures.profile=scanner.icc']
    expect((await load(TEXT, set)).captures.profile).toBe('/job/scanner.icc')
    const { loadPipeline } = await import('../../src/pipeline/Pipeline.js')
    const { fakeRegistries, memoryDisk } = await import('./fakes.js')
    const disk = memoryDisk({
      '/job/p.yaml': TEXT,
      '/job/captures/scan.tif': '',
      '/elsewhere/scanner.icc': '',
    })
    const pipeline = await loadPipeline(
      '../job/p.yaml',
      { set, currentFolder: '/elsewhere' },
      { ...fakeRegistries, disk },
    )
    expect(pipeline.captures.profile).toBe('/elsewhere/scanner.icc')
  })

  const key = fc.stringMatching(/^[a-z][a-z-]{0,8}$/).filter((name) => !name.includes('color'))
  const value = fc.oneof(
    fc.integer({ min: -1e6, max: 1e6 }),
    fc.boolean(),
    fc.string(),
    fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 1, maxLength: 3 }),
  )

  it('puts any value at any path of keys, and nothing anywhere else', () => {
    fc.assert(
      fc.property(fc.array(key, { minLength: 1, maxLength: 4 }), value, (path, wanted) => {
        const flow = stringify(wanted, { collectionStyle: 'flow', lineWidth: 0, blockQuote: false }).trimEnd()
        const start = tree('other: { stays: 1 }\n')
        fc.pre(path[0] !== 'other' && path[0] !== 'steps' && path[0] !== 'outputs')
        const after = applySet(start, `${path.join('.')}=${flow}`, '/')
        expect(plain(nodeAt(after, path)!)).toEqual(wanted)
        expect(plain(nodeAt(after, ['other'])!)).toEqual({ stays: 1 })
        expect((after as { entries: Map<string, unknown> }).entries.size).toBe(2)
      }),
      { seed: 7, numRuns: 300 },
    )
  })

  it('answers any text at all with a tree or a RequestError', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 30 }), (text) => {
        try {
          applySet(tree(TEXT), text, '/')
        } catch (error) {
          expect(error).toBeInstanceOf(RequestError)
        }
      }),
      { seed: 11, numRuns: 500 },
    )
  })
})
