/** The report's own style sheet: quiet grey round the pictures, so that they are judged against neutral. */
export const STYLE = `
:root { color-scheme: light; --ink: #222; --soft: #5c5c5c; --line: #c4c4c4; --ground: #e4e4e4; --cut: 50% }
* { box-sizing: border-box }
body { margin: 0; background: var(--ground); color: var(--ink); font: 16px/1.5 Georgia, 'Times New Roman', serif; overflow-wrap: break-word }
main { max-width: 1540px; margin: 0 auto; padding: 2rem 1.5rem 4rem }
h1 { font-size: 2.2rem; font-weight: normal; line-height: 1.2; margin: 0 0 .4rem }
h2 { font-size: 1.5rem; font-weight: normal; border-top: 1px solid var(--line); padding-top: 1.3rem; margin: 2.4rem 0 .7rem }
h3 { font-size: 1.2rem; margin: 0 0 .1rem }
h4 { font-size: 1rem; margin: 1.2rem 0 0 }
p, ul, ol { max-width: 76ch; margin: .4rem 0 .8rem } li { margin: .15rem 0 }
ul, ol { padding-left: 1.3rem }
code { font-size: .92em }
a { color: inherit }
.lead { font-size: 1.1rem }
.soft, .caption, figcaption, .source { color: var(--soft) } figcaption, .caption { font-size: .9rem } .source { font-size: .8rem; margin: .1rem 0 }
nav { margin: .8rem 0 0; font-size: .95rem } nav a { margin-right: 1rem; display: inline-block }
.warnings { max-width: 960px; list-style: none; padding: .6rem 1rem; background: #fff4d6; border-left: 4px solid #b07d00; overflow-wrap: anywhere }
.summary { display: grid; grid-template-columns: max-content minmax(0, 1fr); gap: .5rem 1.4rem; margin: 0; max-width: 100ch }
.summary dt { color: var(--soft) } .summary dd { margin: 0 } .summary ul, .summary ol { margin: 0; padding-left: 1.1rem } .summary ul ul { list-style: disc }
.part { margin: 1.6rem 0 0; padding: 1rem 0 0; border-top: 1px dotted var(--line) }
h2 + .part { border-top: 0; padding-top: 0; margin-top: 0 }
.pictures { display: flex; flex-wrap: wrap; gap: 1rem; align-items: flex-start }
.shown { display: flex; flex-wrap: wrap; gap: 1rem 1.5rem; align-items: flex-start; margin: .6rem 0 1rem }
figure { margin: 0; max-width: 100% } img { display: block; max-width: 100%; height: auto; background: #ddd }
figcaption { max-width: 60ch; margin-top: .25rem } .preview { margin: .6rem 0 }
table { border-collapse: collapse; margin: .4rem 0 .8rem; font-size: .92rem }
th, td { text-align: left; vertical-align: top; padding: .2rem 1.2rem .2rem 0; border-bottom: 1px solid var(--line); font-weight: normal }
thead th { color: var(--soft) } .value { font-variant-numeric: tabular-nums; white-space: nowrap; text-align: right }
.data td { white-space: nowrap } sup { font-size: .72em; line-height: 1 } .wide { overflow-x: auto; max-width: 100% } .hash { font-family: ui-monospace, monospace; font-size: .78rem; overflow-wrap: anywhere; min-width: 22ch }
details { margin: .3rem 0 } details summary { cursor: pointer }
.plot { width: 350px } .plot svg { display: block; width: 350px; max-width: 100%; height: auto } .plot text { font-size: 12px; fill: var(--soft) } .plot .key svg { display: inline; width: 28px; height: 8px } .key { white-space: nowrap; margin-right: .6rem }
.grid { stroke: var(--line); stroke-width: .6 } .series { fill: none; stroke: var(--ink); stroke-width: 1.6 }
.wipe { max-width: 960px } .frame { position: relative; touch-action: pan-y; cursor: ew-resize; user-select: none } .frame img { width: 100% }
.frame .over { position: absolute; inset: 0; clip-path: inset(0 0 0 var(--cut)) }
.frame .edge { position: absolute; top: 0; bottom: 0; left: var(--cut); width: 1px; background: #fff; box-shadow: 0 0 2px #000 }
.wipe input { width: 100%; margin: .6rem 0 0; accent-color: #555 } .sides { display: flex; justify-content: space-between; max-width: none; color: var(--soft); margin: 0 }
@media (min-width: 1200px) { .findings { display: grid; grid-template-columns: minmax(0, 1fr) minmax(0, 1fr); gap: 0 2.5rem } .said:last-child { grid-column: 1 / -1 } .said, .shown { min-width: 0 } .shown { margin-top: 0 } }
@media (max-width: 600px) { main { padding: 1.2rem 1rem 3rem } .summary { grid-template-columns: minmax(0, 1fr) } .summary dt { margin-top: .5rem } .comparison .pictures { flex-wrap: nowrap; overflow-x: auto } .comparison figure { max-width: none; flex: none } .comparison img { max-width: none } }
@page { margin: 15mm }
@media print { body { background: #fff; font-size: 10pt } main { max-width: none; padding: 0 } .wipe input, nav { display: none } .warnings { print-color-adjust: exact; -webkit-print-color-adjust: exact } h2, h3, h4, .caption { break-after: avoid } figure, tr, .wipe { break-inside: avoid } .wipe { max-width: 125mm } .comparison { break-inside: avoid } .comparison .pictures { flex-wrap: nowrap; gap: 3mm } .comparison figure { flex: 1 1 0; min-width: 0 } .findings { display: block } .wide { overflow: visible } .hash { font-size: 7pt } }
`
