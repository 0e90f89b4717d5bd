/** Text that is already HTML; everything else put into `html` is escaped. */
export class Html {
  constructor(readonly text: string) {}
}

type Part = Html | string | number | undefined | false | readonly Part[]

const escapeText = (text: string) => text.replace(/[&<>"']/g, (c) => `&#${c.charCodeAt(0)};`)

const flatten = (part: Part): string => {
  if (part === undefined || part === false) return ''
  if (part instanceof Html) return part.text
  if (typeof part === 'object') return part.map(flatten).join('')
  return escapeText(String(part))
}

/** A piece of HTML from a template; values are escaped unless they are `Html` themselves, lists are joined. */
export function html(strings: TemplateStringsArray, ...parts: Part[]): Html {
  return new Html(
    strings.reduce((text, string, i) => text + string + (i < parts.length ? flatten(parts[i]) : ''), ''),
  )
}
