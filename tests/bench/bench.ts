import { colour } from './colour.js'
import { cutUps } from './cutUps.js'
import { derivatives } from './derivatives.js'
import { light } from './light.js'
import { stitch } from './stitch.js'
import { texture } from './texture.js'
import { turnedPair } from './turnedPair.js'
import { wholeRun } from './wholeRun.js'

/**
 * `npm run bench`, or `npm run bench -- run texture`: only these sections. Other words are for the section: `npm run bench
 * -- cutups camera 0-24`.
 */
const SECTIONS: Record<string, (words: readonly string[]) => Promise<void>> = {
  run: wholeRun,
  light,
  texture,
  stitch,
  cutups: cutUps,
  turned: turnedPair,
  colour,
  derivatives,
}

const given = process.argv.slice(2)
const wanted = given.filter((word) => word in SECTIONS)
const words = given.filter((word) => !(word in SECTIONS))
if (words.length > 0 && wanted.length === 0) {
  throw new Error(`no section ${words.join(', ')}; there are ${Object.keys(SECTIONS).join(', ')}`)
}
for (const [name, section] of Object.entries(SECTIONS)) {
  if (wanted.length > 0 && !wanted.includes(name)) continue
  console.log(`\n${name}`)
  await section(words)
}
