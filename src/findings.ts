/** A small picture for the report, 8 bits sRGB, interleaved RGB. */
export interface Picture8 {
  width: number
  height: number
  rgb: Uint8Array
}

/** One thing a step or an output has to say. The report renders these and knows nothing of who said them. */
export type Finding =
  /** A measurement; goes to `run.json` too. `pass` only where there is a target. */
  | {
      kind: 'number'
      name: string
      value: number
      unit: string
      target?: string
      source?: string
      pass?: boolean
    }
  /** A decision taken by `auto`, or a plain fact: what was chosen and why. */
  | { kind: 'statement'; text: string }
  /** Something the person should know before trusting the result. Console, `run.json`, top of the report. */
  | { kind: 'warning'; text: string }
  | { kind: 'picture'; title: string; caption: string; picture: Picture8 }
  | { kind: 'table'; title: string; columns: string[]; rows: (string | number)[][] }
  | {
      kind: 'plot'
      title: string
      xLabel: string
      yLabel: string
      series: { name: string; points: [x: number, y: number][] }[]
    }
