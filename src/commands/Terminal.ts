/** Where text goes. Node's streams are this; tests give their own. */
export interface OutputStream {
  write(text: string): unknown
  isTTY?: boolean
  columns?: number
}

/** What the commands know of the outside. `cli.ts` makes it from the process. */
export interface Terminal {
  out: OutputStream
  err: OutputStream
  /** Absolute; relative paths on the command line start here. */
  currentFolder: string
  /** Stopped when the person interrupts. */
  signal: AbortSignal
}

/** The options every command has. */
export interface GlobalOptions {
  json: boolean
  quiet: boolean
  verbose: boolean
  threads?: number
}
