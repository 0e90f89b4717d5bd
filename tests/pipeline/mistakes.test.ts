import { describe, expect, it } from 'vitest'
import { loadPipeline } from '../../src/pipeline/Pipeline.js'
import { mistakes } from './load.js'

const ONE = 'captures: { files: [captures/scan.tif] }\n'
const TWO = 'captures: { files: [captures/tile-1.tif, captures/tile-2.tif] }\n'

/** A broken text, and for each of its mistakes, in order: where it is, and parts of what is said. */
type Row = [what: string, text: string, ...expected: [where: string, ...parts: string[]][]]

const ROWS: Row[] = [
  // the YAML itself
  ['an empty file', '', ['p.yaml', 'not a pipeline file', 'found an empty file', 'finetooth new']],
  ['nothing but a comment', '# later\n', ['p.yaml', 'found an empty file']],
  ['a list at the top', '- a\n- b\n', ['p.yaml', 'found a list']],
  ['a text at the top', 'hello\n', ['p.yaml', 'found a single text']],
  ['a tab', `${ONE}steps:\n\t- stitch\n`, ['p.yaml:3:1', 'YAML', 'tab']],
  ['a bracket left open', 'captures: { files: [a.tif }\n', ['p.yaml:1:27', 'YAML']],
  ['a colon in a text', 'title: Harbour: low tide\n', ['p.yaml:1:8', 'YAML', 'colon', 'quotes']],
  ['two documents', `${ONE}---\ntitle: x\n`, ['p.yaml:2:1', 'several documents']],
  ['a tag', `title: !secret x\n${ONE}`, ['p.yaml:1:8', 'tags']],
  ['a key doubled', `title: a\n${ONE}title: b\n`, ['p.yaml:3:1', 'title', 'written twice', 'p.yaml:1:1']],
  [
    'a key doubled in both spellings',
    `${ONE}steps:\n  - colour: { color: 1, colour: 2 }\n`,
    ['p.yaml:3:15', 'steps.0.colour.color: unknown key'],
    ['p.yaml:3:25', 'written twice'],
  ],
  ['an alias to nothing', `title: *t\n${ONE}`, ['p.yaml:1:8', '*t', 'nothing']],
  ['an alias to itself', `${ONE}steps: &s\n  - *s\n`, ['p.yaml:3:5', 'itself']],
  // the head
  ['no captures', 'pipeline: 1\n', ['p.yaml:1:1', 'captures: missing', 'the keys kind, files']],
  ['no files', 'captures: { kind: flatbed }\n', ['p.yaml:1:1', 'captures.files: missing', 'a list']],
  ['blank files', 'captures:\n  files:\n', ['p.yaml:2:3', 'captures.files: missing']],
  [
    'an empty list of files',
    'captures: { files: [] }\n',
    ['p.yaml:1:20', 'captures.files', 'at least one entry', 'empty list'],
  ],
  [
    'files without a list',
    'captures: { files: captures/scan.tif }\n',
    ['p.yaml:1:20', 'wrong type', 'a list', '[captures/scan.tif]'],
  ],
  ['a format of the future', `pipeline: 2\n${ONE}`, ['p.yaml:1:11', 'pipeline', 'expected 1', 'found 2']],
  ['a key misspelt', `titel: x\n${ONE}`, ['p.yaml:1:1', 'titel: unknown key', 'Nearest spelling: title']],
  [
    'a key that is nothing like any',
    `zzz: 1\n${ONE}`,
    ['p.yaml:1:1', 'zzz: unknown key', 'one of pipeline, title'],
  ],
  [
    'captures misspelt, said once',
    'capture: { files: [captures/scan.tif] }\n',
    ['p.yaml:1:1', 'capture: unknown key', 'Nearest spelling: captures'],
  ],
  [
    'step for steps',
    `${ONE}step: [stitch]\n`,
    ['p.yaml:2:1', 'step: unknown key', 'Nearest spelling: steps'],
  ],
  [
    'a key inside',
    `credit: { autor: x, creater: y }\n${ONE}`,
    ['p.yaml:1:11', 'credit.autor', 'one of creator, rights, contact'],
    ['p.yaml:1:21', 'credit.creater', 'Nearest spelling: creator'],
  ],
  [
    'a title that is a list',
    `title: [a]\n${ONE}`,
    ['p.yaml:1:8', 'title: wrong type', 'a text', 'a list of 1'],
  ],
  [
    'a title that is a number',
    `title: 1984\n${ONE}`,
    ['p.yaml:1:8', 'title: wrong type', 'found 1984', 'Nearest spelling: "1984"'],
  ],
  [
    'an unknown kind',
    'captures:\n  kind: flatbet\n  files: [captures/scan.tif]\n',
    [
      'p.yaml:2:9',
      'captures.kind: unknown value',
      'one of flatbed, camera',
      '"flatbet"',
      'Nearest spelling: flatbed',
    ],
  ],
  [
    'ppi as text',
    'captures: { files: [captures/scan.tif], ppi: 300dpi }\n',
    ['p.yaml:1:46', 'captures.ppi', 'pixels per inch', '"300dpi"', 'Nearest spelling: 300'],
  ],
  [
    'ppi of nothing',
    'captures: { files: [captures/scan.tif], ppi: 0 }\n',
    ['p.yaml:1:46', 'captures.ppi: out of range', 'at least 1'],
  ],
  [
    'a size without unit',
    'captures: { files: [captures/scan.tif], size: { width: 420 } }\n',
    ['p.yaml:1:56', 'captures.size.width: a length without its unit', 'found 420', 'Nearest spelling: 420mm'],
  ],
  [
    'a size in pixels',
    'captures: { files: [captures/scan.tif], size: { width: 420px } }\n',
    ['p.yaml:1:56', 'not in px'],
  ],
  [
    'a size below nothing',
    'captures: { files: [captures/scan.tif], size: { width: -3mm } }\n',
    ['p.yaml:1:56', 'above 0'],
  ],
  [
    'inches written out',
    'captures: { files: [captures/scan.tif], size: { width: 12 inches } }\n',
    ['p.yaml:1:56', 'not a length', 'Nearest spelling: 12in'],
  ],
  [
    'a decimal comma',
    `${ONE}outputs:\n  - print: { border: "1,5cm" }\n`,
    ['p.yaml:3:22', 'not a length', 'Nearest spelling: 1.5cm'],
  ],
  [
    'a turn that is no quarter',
    'captures: { files: [{ file: captures/scan.tif, turned: 45 }] }\n',
    ['p.yaml:1:56', 'turned', 'one of 0, 90, 180, 270', 'found 45'],
  ],
  [
    'a space that is no standard',
    `${ONE}master: { space: paperspace }\n`,
    ['p.yaml:2:18', 'master.space', 'sRGB', 'ROMM RGB', '"paperspace"'],
  ],
  [
    'a master outside the folder',
    `${ONE}master: { file: ../m.tif }\n`,
    ['p.yaml:2:17', 'master.file', 'plain file name', '"../m.tif"'],
  ],
  [
    'a depth there is not',
    `${ONE}master: { depth: 8 }\n`,
    ['p.yaml:2:18', 'master.depth', 'expected 16', 'found 8'],
  ],
  [
    'no for false',
    `${ONE}report: no\n`,
    ['p.yaml:2:9', 'report', 'true or false', 'Nearest spelling: false'],
  ],
  // files
  [
    'a capture that is not there',
    'captures:\n  files:\n    - captures/scan.tif\n    - captures/scam.tif\nsteps: [stitch]\n',
    ['p.yaml:4:7', 'captures.files.1: there is no file captures/scam.tif'],
  ],
  [
    'a pattern without files',
    'captures: { files: ["captures/*.jpg"] }\n',
    ['p.yaml:1:21', 'captures.files.0: no file matches captures/*.jpg'],
  ],
  [
    'a folder for a capture',
    'captures: { files: [captures] }\n',
    ['p.yaml:1:21', 'captures is a folder', 'captures/*.tif'],
  ],
  [
    'a capture twice',
    'captures: { files: [captures/scan.tif, ./captures/scan.tif] }\n',
    ['p.yaml:1:40', 'captures/scan.tif stands twice'],
  ],
  [
    'a profile that is not there',
    'captures: { files: [captures/scan.tif], profile: lamp.icc }\n',
    ['p.yaml:1:50', 'captures.profile: there is no file lamp.icc'],
  ],
  [
    'a board that is not there',
    `${ONE}steps:\n  - flat-field: { board: captures/bored.tif }\n`,
    ['p.yaml:3:26', 'steps.0.flat-field.board: there is no file captures/bored.tif'],
  ],
  [
    'a reference misspelt',
    `${ONE}steps:\n  - colour: { reference: chart24-2015 }\n`,
    [
      'p.yaml:3:26',
      'steps.0.colour.reference: there is no file chart24-2015',
      'Nearest spelling: chart24-2014',
    ],
  ],
  [
    'a pattern that also takes the chart',
    `captures: { files: ["captures/*.tif"] }\nsteps:\n  - colour: { chart: captures/chart.tif }\n  - stitch\n`,
    ['p.yaml:1:21', 'also matches captures/chart.tif', 'steps.0.colour.chart'],
  ],
  // steps
  [
    'steps that are no list',
    `${ONE}steps:\n  stitch: { }\n`,
    ['p.yaml:3:3', 'steps: wrong type', 'a list', 'dash'],
  ],
  [
    'a step there is not',
    `${ONE}steps:\n  - stich\n`,
    ['p.yaml:3:5', 'steps.0: unknown step stich', 'one of flat-field, colour', 'Nearest spelling: stitch'],
  ],
  [
    'a step in camel case',
    `${ONE}steps:\n  - paperTexture: {}\n`,
    ['p.yaml:3:5', 'unknown step paperTexture', 'Nearest spelling: paper-texture'],
  ],
  [
    'half a step',
    `${ONE}steps:\n  - texture\n`,
    ['p.yaml:3:5', 'unknown step texture', 'Nearest spelling: paper-texture'],
  ],
  ['a number for a step', `${ONE}steps:\n  - 3\n`, ['p.yaml:3:5', 'steps.0: not a step', 'found 3']],
  [
    'a dash forgotten',
    `${ONE}steps:\n  - stitch:\n    paper-white:\n`,
    ['p.yaml:4:5', 'steps.0: several names in one entry', 'dash for paper-white'],
  ],
  [
    'params not indented',
    `${ONE}steps:\n  - paper-texture:\n    strength: 1\n`,
    ['p.yaml:4:5', 'several names', 'Indent strength further'],
  ],
  ['a bracket left open', 'captures: {\n', ['p.yaml:2:1', 'a bracket above is not closed']],
  [
    'a step twice',
    `${ONE}steps:\n  - paper-white\n  - paper-white: { }\n`,
    ['p.yaml:4:5', 'steps.1.paper-white: the step stands twice', 'p.yaml:3:5'],
  ],
  [
    'a capture step after the joining',
    `${TWO}steps:\n  - stitch\n  - colour\n`,
    ['p.yaml:4:5', 'colour works on each capture and must stand before stitch'],
  ],
  [
    'a picture step before the joining',
    `${TWO}steps:\n  - paper-white\n  - stitch\n`,
    ['p.yaml:4:5', 'stitch joins the captures and must stand before paper-white'],
  ],
  [
    'several captures and no stitch',
    `${TWO}steps:\n  - paper-white\n`,
    ['p.yaml:1:13', '2 captures and no step that joins them', 'stitch among the steps'],
  ],
  [
    'a missing board',
    `${ONE}steps:\n  - flat-field\n`,
    ['p.yaml:3:5', 'steps.0.flat-field.board: missing', 'a path'],
  ],
  [
    'a param misspelt',
    `${ONE}steps:\n  - paper-texture: { strenght: 1 }\n`,
    ['p.yaml:3:22', 'steps.0.paper-texture.strenght: unknown key', 'Nearest spelling: strength'],
  ],
  [
    'a number out of range',
    `${ONE}steps:\n  - paper-texture: { strength: 1.5 }\n`,
    ['p.yaml:3:32', 'out of range', 'a number from 0 to 1', 'found 1.5'],
  ],
  [
    'a percentage for a number',
    `${ONE}steps:\n  - paper-texture: { strength: 80% }\n`,
    ['p.yaml:3:32', 'wrong type', 'a number from 0 to 1', '"80%"', 'Nearest spelling: 0.8'],
  ],
  [
    'a number for a percentage',
    `${ONE}steps:\n  - hue: [ { around: blue, chroma: 90 } ]\n`,
    ['p.yaml:3:36', 'a percentage without its sign', 'Nearest spelling: 90%'],
  ],
  [
    'neither word nor number',
    `${ONE}steps:\n  - hue: [ { around: bleu } ]\n`,
    [
      'p.yaml:3:22',
      'steps.0.hue.0.around: unknown value',
      'one of red, green, blue, or a number',
      'Nearest spelling: blue',
    ],
  ],
  [
    'inside a list of alternatives',
    `${ONE}steps:\n  - paper-texture: { blank: [ { x: 1mm, y: 2 } ] }\n`,
    ['p.yaml:3:44', 'steps.0.paper-texture.blank.0.y', 'Nearest spelling: 2mm'],
  ],
  [
    'too few corners',
    `${ONE}steps:\n  - colour: { corners: [[1, 2]] }\n`,
    ['p.yaml:3:24', 'corners: wrong number of entries', 'at least 4'],
  ],
  [
    'a yes for true',
    `${ONE}steps:\n  - paper-white: { keep: yes }\n`,
    ['p.yaml:3:26', 'true or false', 'Nearest spelling: true'],
  ],
  // outputs
  [
    'an output there is not',
    `${ONE}outputs:\n  - cart: { }\n`,
    ['p.yaml:3:5', 'outputs.0: unknown output cart', 'Nearest spelling: card'],
  ],
  [
    'two outputs with one name',
    `${ONE}outputs:\n  - print: { name: a }\n  - card: { name: A }\n`,
    ['p.yaml:4:19', 'two outputs have the name A', 'p.yaml:3:5'],
  ],
  [
    'two outputs without a name',
    `${ONE}outputs:\n  - print\n  - print\n`,
    ['p.yaml:4:5', 'two outputs have the name print', 'name: print-2'],
  ],
  [
    'a name that leaves the folder',
    `${ONE}outputs:\n  - print: { name: ../x }\n`,
    ['p.yaml:3:20', 'not a file name', '"../x"'],
  ],
  [
    'half a card',
    `${ONE}outputs:\n  - card: { up: 1.5 }\n`,
    ['p.yaml:3:17', 'up', 'a whole number from 1 to 8', 'found 1.5'],
  ],
  [
    'a unit misspelt',
    `${ONE}outputs:\n  - print: { border: 15mn }\n`,
    ['p.yaml:3:22', 'border: not a length', '"15mn"', 'Nearest spelling: 15mm'],
  ],
  [
    'a word for a mapping',
    `${ONE}outputs:\n  - print: { sharpening: nome }\n`,
    ['p.yaml:3:26', 'sharpening', 'none, or the keys target', 'Nearest spelling: none'],
  ],
  // mistakes do not hide each other
  [
    'a step twice, once wrong',
    `${ONE}steps:\n  - paper-texture: { strength: 9 }\n  - paper-texture\n`,
    ['p.yaml:3:32', 'out of range'],
    ['p.yaml:4:5', 'stands twice'],
  ],
  [
    'one name for two wrong outputs',
    `${ONE}outputs:\n  - print: { name: a, ppi: 0 }\n  - card: { name: a, up: 0 }\n`,
    ['p.yaml:3:28', 'ppi'],
    ['p.yaml:4:19', 'two outputs have the name a'],
    ['p.yaml:4:26', 'up'],
  ],
  [
    'no stitch beside a wrong step',
    `${TWO}steps:\n  - paper-white: { keep: 3 }\n`,
    ['p.yaml:1:13', 'no step that joins them'],
    ['p.yaml:3:26', 'keep'],
  ],
  // many at once, in the order of the text
  [
    'everything at once',
    'titel: x\ncaptures:\n  kind: flat\n  files: [nix.tif]\n  size: { width: 420 }\nsteps:\n  - stich\n  - paper-texture: { strength: 3 }\noutputs:\n  - print: { pip: 3 }\n',
    ['p.yaml:1:1', 'titel'],
    ['p.yaml:3:9', 'flat'],
    ['p.yaml:4:11', 'nix.tif'],
    ['p.yaml:5:18', '420'],
    ['p.yaml:7:5', 'stich'],
    ['p.yaml:8:32', 'strength'],
    ['p.yaml:10:14', 'pip'],
  ],
]

describe('a mistake in a pipeline file', () => {
  it.each(ROWS.map(([what, text, ...expected]) => ({ what, text, expected })))(
    'is told where it stands: $what',
    async ({ text, expected }) => {
      const found = await mistakes(text)
      expect(found.map((message) => /^p\.yaml(:\d+:\d+)?/.exec(message)?.[0])).toEqual(
        expected.map(([where]) => where),
      )
      expected.forEach(([, ...parts], i) => {
        for (const part of parts) expect(found[i]).toContain(part)
      })
    },
  )

  it('is told for a picture given as a pipeline', async () => {
    await expect(loadPipeline('/job/scan.tif')).rejects.toThrow(/not a pipeline file .*found a tif file/)
  })
})
