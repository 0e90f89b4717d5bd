/** The report's own style sheet: quiet grey round the pictures, so that they are judged against neutral. */
export const STYLE = `
:root { color-scheme: light; --ink: #222; --soft: #666; --line: #c9c9c9; --ground: #e4e4e4; --sheet: #f6f6f6 }
* { box-sizing: border-box }
body { margin: 0; background: var(--ground); color: var(--ink); font: 16px/1.5 Georgia, 'Times New Roman', serif }
main { max-width: 1540px; margin: 0 auto; padding: 2rem 1.5rem 4rem }
h1 { font-size: 2.1rem; font-weight: normal; margin: 0 0 .2rem }
h2 { font-size: 1.45rem; font-weight: normal; border-top: 1px solid var(--line); padding-top: 1.4rem; margin: 2.6rem 0 .6rem }
h3 { font-size: 1.15rem; margin: 1.8rem 0 .2rem }
h4 { font-size: 1rem; margin: 1.2rem 0 0 }
p, ul { max-width: 76ch; margin: .4rem 0 .8rem } li { margin: .15rem 0 }
.soft, .caption, figcaption, small { color: var(--soft) } figcaption, .caption { font-size: .88rem }
nav { margin: .8rem 0 0; font-size: .95rem } nav a { margin-right: 1rem; color: inherit }
.warnings { max-width: 960px; list-style: none; padding: .6rem 1rem; background: #fff4d6; border-left: 4px solid #b07d00 }
.pictures { display: flex; flex-wrap: wrap; gap: 1rem; align-items: flex-start }
figure { margin: 0; max-width: 100% } img { display: block; max-width: 100%; height: auto; background: #ddd }
table { border-collapse: collapse; margin: .4rem 0 1rem; font-size: .92rem }
th, td { text-align: left; vertical-align: top; padding: .18rem 1.1rem .18rem 0; border-bottom: 1px solid var(--line); font-weight: normal }
thead th { color: var(--soft) } .value { font-variant-numeric: tabular-nums; white-space: nowrap }
.wide { overflow-x: auto } .hash { font-family: ui-monospace, monospace; font-size: .78rem; overflow-wrap: anywhere }
details summary { cursor: pointer; margin: .3rem 0 }
.plot svg { width: 520px; max-width: 100%; height: auto } .plot text { font-size: 11px; fill: var(--soft) } .key svg { width: 28px; height: 8px }
.grid { stroke: var(--line); stroke-width: .6 } .series { fill: none; stroke: var(--ink); stroke-width: 1.6 }
.wipe { position: relative; max-width: 960px } .wipe img { width: 100% } .wipe .over { position: absolute; inset: 0; clip-path: inset(0 0 0 var(--cut, 50%)) }
.wipe .edge { position: absolute; top: 0; bottom: 0; left: var(--cut, 50%); width: 1px; background: #fff; box-shadow: 0 0 2px #000 }
.wipe input { width: 100%; margin: .6rem 0 0 } .sides { display: flex; justify-content: space-between; max-width: 960px }
@media print { body { background: #fff } .wipe input, nav { display: none } h2 { break-after: avoid } figure { break-inside: avoid } }
`

/** Moves the border between the two pictures; without scripts it stays in the middle. */
export const SCRIPT = `
for (const input of document.querySelectorAll('.wipe input')) {
  const set = () => input.parentElement.style.setProperty('--cut', input.value + '%')
  input.addEventListener('input', set)
  set()
}
`
