/** What a strip shows, without pixels and sizes. */
export interface StripContent {
  title: string
  /** What changes down the sheet, and how to look at it. */
  lead: string[]
  /** Heads of the columns: what each place shows. */
  columns: string[]
  rows: StripRow[]
}

export interface StripRow {
  /** The value: `0.75`. */
  label: string
  /** Small words under it: `in the pipeline now`. */
  notes: string[]
  /** The line to copy into the pipeline. */
  line: string
}
