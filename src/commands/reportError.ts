import { inspect } from 'node:util'
import { describeProblem, FinetoothError, Interrupted, RequestError } from '../errors.js'
import type { Terminal } from './Terminal.js'

/** More lines than this are read by nobody; `--json` has them all. */
const MAX_LINES = 40

/**
 * Tells why it did not work: in words on `err`, as an object on `out` with `--json`.
 * @returns the exit status
 */
export function reportError(
  error: unknown,
  { json, verbose }: { json: boolean; verbose: boolean },
  { out, err, signal }: Terminal,
): number {
  const known =
    error instanceof FinetoothError ? error : signal.aborted ? new Interrupted({ cause: error }) : undefined
  const exitStatus = known?.exitStatus ?? 1
  const message =
    known?.message ?? `unexpected failure: ${error instanceof Error ? error.message : String(error)}`
  if (json) {
    out.write(`${JSON.stringify({ event: 'error', exitStatus, message, problems: known?.problems ?? [] })}\n`)
  }
  const lines = known ? known.problems.map(describeProblem) : [message]
  for (const line of lines.slice(0, MAX_LINES)) err.write(`${line}\n`)
  if (lines.length > MAX_LINES) err.write(`... and ${lines.length - MAX_LINES} more\n`)
  if (lines.length > 1)
    err.write(
      `${lines.length} ${error instanceof RequestError ? 'mistakes' : 'problems'}. Nothing was changed.\n`,
    )
  if (verbose) err.write(`${inspect(error)}\n`)
  else if (!known)
    err.write('This should not happen; run it again with --verbose to see where it happened.\n')
  return exitStatus
}
