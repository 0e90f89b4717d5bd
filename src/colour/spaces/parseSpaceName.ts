import { SPACE_NAMES, type SpaceName } from './SpaceName.js'

const bare = (text: string) => text.toLowerCase().replace(/[\s_-]/g, '')

/** The space a text names, or undefined; case, blanks and hyphens do not matter. */
export function parseSpaceName(text: string): SpaceName | undefined {
  return SPACE_NAMES.find((name) => bare(name) === bare(text))
}
