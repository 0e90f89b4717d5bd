import { colour } from './colour.js'
import { derivatives } from './derivatives.js'
import { light } from './light.js'
import { stitch } from './stitch.js'
import { texture } from './texture.js'
import { turnedPair } from './turnedPair.js'
import { wholeRun } from './wholeRun.js'

/** `npm run bench`, or `npm run bench -- run texture`: only these sections. */
const SECTIONS: Record<string, () => Promise<void>> = {
  run: wholeRun,
  light,
  texture,
  stitch,
  turned: turnedPair,
  colour,
  derivatives,
}

const wanted = process.argv.slice(2)
for (const [name, section] of Object.entries(SECTIONS)) {
  if (wanted.length > 0 && !wanted.includes(name)) continue
  console.log(`\n${name}`)
  await section()
}
