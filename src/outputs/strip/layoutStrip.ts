import type { StripContent } from './StripContent.js'

/** Sizes of a strip's sheet, all in one unit: millimetres or pixels. */
export interface StripMeasures {
  margin: number
  gap: number
  labelWidth: number
  crop: { width: number; height: number }
  /** Type sizes. */
  title: number
  value: number
  text: number
  small: number
}

export interface PlacedText {
  text: string
  /** Start of the baseline. */
  x: number
  y: number
  size: number
}

export interface StripPage {
  width: number
  height: number
  texts: PlacedText[]
  crops: { row: number; column: number; x: number; y: number }[]
}

const LEADING = 1.35

/** Height of what stands above the rows, the space below it included. */
export function headHeight(content: StripContent, { margin, title, text, gap }: StripMeasures): number {
  return margin + title + content.lead.length * text * LEADING + gap + text * LEADING + gap
}

/** Height a row takes: its crop, the line below it and the space to the next. */
export function rowHeight({ crop, small, gap }: StripMeasures): number {
  return crop.height + small * LEADING + gap
}

/**
 * Lays rows of crops on one sheet: the value at the left, the places side by side, below them the line to copy.
 * @param from, to rows on this sheet, `to` not included
 */
export function layoutStrip(
  content: StripContent,
  measures: StripMeasures,
  from: number,
  to: number,
): StripPage {
  const { margin, gap, labelWidth, crop, title, value, text, small } = measures
  const texts: PlacedText[] = []
  let y = margin + title * 0.8
  texts.push({ text: content.title, x: margin, y, size: title })
  y = margin + title
  for (const line of content.lead) {
    y += text * LEADING
    texts.push({ text: line, x: margin, y, size: text })
  }
  y += gap + text * LEADING
  const left = margin + labelWidth + gap
  const columnX = (column: number) => left + column * (crop.width + gap)
  content.columns.forEach((head, column) => {
    texts.push({ text: head, x: columnX(column), y: y - text * 0.2, size: text })
  })
  const top = headHeight(content, measures)
  const crops: StripPage['crops'] = []
  for (let row = from; row < to; row++) {
    const rowY = top + (row - from) * rowHeight(measures)
    const { label, notes, line } = content.rows[row]
    texts.push({ text: label, x: margin, y: rowY + value * 0.75, size: value })
    notes.forEach((note, i) => {
      texts.push({ text: note, x: margin, y: rowY + value * 0.8 + (i + 1) * small * LEADING, size: small })
    })
    texts.push({ text: line, x: left, y: rowY + crop.height + small * 1.1, size: small })
    content.columns.forEach((_, column) => {
      crops.push({ row, column, x: columnX(column), y: rowY })
    })
  }
  return {
    width: columnX(content.columns.length) - gap + margin,
    height: top + (to - from) * rowHeight(measures) - gap + margin,
    texts,
    crops,
  }
}
