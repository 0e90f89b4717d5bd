import { FinetoothError, RequestError, WorkError } from '../errors.js'

const codeOf = (cause: unknown) => (cause as NodeJS.ErrnoException | undefined)?.code ?? ''

/** A failure to read `path`, in words. Errors that are worded already pass through. */
export function readProblem(path: string, cause: unknown): FinetoothError {
  if (cause instanceof FinetoothError) return cause
  switch (codeOf(cause)) {
    case 'ENOENT':
    case 'ENOTDIR':
      return new RequestError(
        { where: path, what: 'there is no such file', todo: 'Check the path and the spelling' },
        { cause },
      )
    case 'EISDIR':
      return new RequestError(
        { where: path, what: 'this is a folder', expected: 'a file', todo: 'Name a file inside it' },
        { cause },
      )
    case 'EACCES':
    case 'EPERM':
      return new RequestError(
        { where: path, what: 'the file may not be read', todo: 'Allow reading it, or copy it elsewhere' },
        { cause },
      )
    default:
      return new WorkError(
        { where: path, what: `the file could not be read: ${(cause as Error)?.message ?? cause}` },
        { cause },
      )
  }
}

/** A failure to write `path`, in words. Errors that are worded already pass through. */
export function writeProblem(path: string, cause: unknown): FinetoothError {
  if (cause instanceof FinetoothError) return cause
  const say = (what: string, todo?: string) => new WorkError({ where: path, what, todo }, { cause })
  switch (codeOf(cause)) {
    case 'ENOSPC':
    case 'EDQUOT':
      return say('the disk is full; the file was not written', 'Make room, or write to another disk')
    case 'EFBIG':
      return say('the file is larger than this disk allows', 'Write to a disk with another file system')
    case 'EACCES':
    case 'EPERM':
    case 'EROFS':
      return say('the place may not be written to', 'Allow writing there, or choose another output folder')
    case 'ENOENT':
    case 'ENOTDIR':
      return say('the folder to write to does not exist', 'Make the folder, or choose another')
    default:
      return say(`the file could not be written: ${(cause as Error)?.message ?? cause}`)
  }
}
