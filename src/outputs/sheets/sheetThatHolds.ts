import { SHEETS, type Sheet } from './sheets.js'

/** 0 for the everyday sheets of the asked sheet's own system (ISO A, or inches), 1 for the rest. */
function distance(sheet: Sheet, inches: boolean): number {
  return (inches ? /in$|^(letter|legal|tabloid)$/ : /^A/).test(sheet.name) ? 0 : 1
}

/**
 * The smallest sheet known by name that does: of the system the asked one is from where there is one, else any.
 * @param asked the sheet that does not
 */
export function sheetThatHolds(asked: Sheet, holds: (sheet: Sheet) => boolean): Sheet | undefined {
  const inches = /in$|^(letter|legal|tabloid)$/i.test(asked.name)
  return [...SHEETS]
    .sort(
      (p, q) => distance(p, inches) - distance(q, inches) || p.widthMm * p.heightMm - q.widthMm * q.heightMm,
    )
    .find(holds)
}
