/** The demo's pipeline file, commented, for tiles captured as `writeScene` names them. */
export function pipelineText(turnedTile: number, tiles: number): string {
  const files = Array.from({ length: tiles }, (_, i) => {
    const path = `captures/tile-${i + 1}.tif`
    return i === turnedTile
      ? `    - { file: ${path}, turned: 180 }   # this one was laid on the glass the other way round`
      : `    - ${path}`
  })
  return `pipeline: 1
title: Harbour at low tide
credit: { creator: "the painter in demo-data", rights: "made from a seed, use as you like", contact: "" }

captures:
  kind: flatbed
  files:                             # four overlapping tiles, in no order that matters
${files.join('\n')}

steps:
  - flat-field: { board: captures/blank-board.tif }   # the lamp falls off; an even board shows how
  - colour:                          # the scanner claims sRGB and is wrong; a chart in the same light corrects it
      chart: captures/chart.tif
      reference: captures/chart.txt  # measured values of this very chart; or chart24-2014
  - stitch                           # one sheet of all tiles
  - paper-texture                    # take the tooth's light and dark away, keep pencil and granulation
  - paper-white                      # bare paper prints as no ink at all
  - hue: [{ around: blue, width: 50, shift: -3 }]     # a gentle turn against blues that drift to purple in print

master: { space: auto }

outputs:
  - print: { name: wall, sheet: A3+, image: fit, border: 20mm, ppi: 240, viewing: 900mm }
  - print: { name: same-size, image: original-size }
  - card:  { name: card, format: a6-folded, bleed: 3mm, sheet: A4, back: "Harbour at low tide" }
`
}
