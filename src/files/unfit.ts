import { type Problem, RequestError } from '../errors.js'

const AGAIN = 'Copy the file again from where it came, or scan it again'

/** A RequestError about a picture file that cannot be used, in the words of the trade. */
export function unfit(path: string, problem: Omit<Problem, 'where'>, cause?: unknown): RequestError {
  return new RequestError({ where: path, ...problem }, { cause })
}

/** The file stops before its picture does. `neededBytes` where it is known. */
export function truncated(path: string, bytes: number, neededBytes?: number, cause?: unknown): RequestError {
  return unfit(
    path,
    {
      what: 'the file is cut short: it ends before its picture does',
      expected: neededBytes === undefined ? undefined : `at least ${neededBytes} bytes`,
      found: `${bytes} bytes`,
      todo: AGAIN,
    },
    cause,
  )
}

/** The file contradicts itself. `detail` says where. */
export function damaged(path: string, detail: string, cause?: unknown): RequestError {
  return unfit(path, { what: `the file is damaged: ${detail}`, todo: AGAIN }, cause)
}

/** The picture is separated into printing inks. */
export function isCmyk(path: string, channels: number): RequestError {
  return unfit(path, {
    what: 'the picture is CMYK: its colours are separated into printing inks already',
    expected: 'an RGB or grey capture',
    found: `${channels} ink channels`,
    todo: 'Scan again as RGB, or export the RGB original as a 16-bit TIFF',
  })
}

/** The picture has no tones. */
export function isLineArt(path: string): RequestError {
  return unfit(path, {
    what: 'the picture is 1-bit line art: pure black and white without tones',
    expected: '8 or 16 bits a channel',
    found: '1 bit',
    todo: 'Scan again in colour, 16 bits a channel (48-bit colour)',
  })
}
