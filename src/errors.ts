/** What a mistake was, in the order a person reads it. Every field but `what` may be left out. */
export interface Problem {
  /** One sentence fragment naming the file or key and what is wrong with it, without a final stop. */
  what: string
  /** `file:line:column`, a path, or the key's path. */
  where?: string
  expected?: string
  found?: string
  /** What the person can do about it. */
  todo?: string
}

/** One message from one problem: `where: what (expected …, found …). todo.` */
export function describeProblem({ what, where, expected, found, todo }: Problem): string {
  const facts = [expected && `expected ${expected}`, found && `found ${found}`].filter(Boolean).join(', ')
  const head = `${where ? `${where}: ` : ''}${what}${facts ? ` (${facts})` : ''}.`
  return todo ? `${head} ${todo.replace(/\.?$/, '.')}` : head
}

/** A failure that is told to the person in words. `exitStatus` is the program's exit status. */
export abstract class FinetoothError extends Error {
  abstract readonly exitStatus: number
  readonly problems: readonly Problem[]

  constructor(problems: Problem | readonly Problem[], options?: { cause?: unknown }) {
    const all = Array.isArray(problems) ? (problems as readonly Problem[]) : [problems as Problem]
    super(all.map(describeProblem).join('\n'), options)
    this.problems = all
    this.name = new.target.name
  }
}

/** The request was wrong: usage, pipeline file, missing or unfit input. Exit status 2. */
export class RequestError extends FinetoothError {
  readonly exitStatus = 2
}

/** The request was sound, the work failed: nothing found, disk full. Exit status 1. */
export class WorkError extends FinetoothError {
  readonly exitStatus = 1
}

/** The person stopped it. Exit status 130. */
export class Interrupted extends FinetoothError {
  readonly exitStatus = 130

  constructor(options?: { cause?: unknown }) {
    super({ what: 'interrupted; nothing was left half written' }, options)
  }
}
