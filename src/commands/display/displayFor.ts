import type { GlobalOptions, Terminal } from '../Terminal.js'
import { barDisplay } from './barDisplay.js'
import type { Display } from './Display.js'
import { jsonDisplay } from './jsonDisplay.js'
import { plainDisplay } from './plainDisplay.js'
import { quietDisplay } from './quietDisplay.js'

/** The display that the options and the terminal ask for. */
export function displayFor({ json, quiet }: GlobalOptions, { out, err }: Terminal): Display {
  const now = () => performance.now()
  if (json) return jsonDisplay(out, quiet, now)
  if (quiet) return quietDisplay(err)
  return out.isTTY ? barDisplay(out, err, now) : plainDisplay(out, err, now)
}
