import type { OutputStream, Terminal } from '../../src/commands/Terminal.js'

export interface FakeStream extends OutputStream {
  text: string
}

export function fakeStream(isTTY = false): FakeStream {
  const stream: FakeStream = {
    text: '',
    isTTY,
    columns: 100,
    write(text) {
      stream.text += text
      return true
    },
  }
  return stream
}

export function fakeTerminal(currentFolder = '/', isTTY = false) {
  const controller = new AbortController()
  const out = fakeStream(isTTY)
  const err = fakeStream(isTTY)
  const terminal: Terminal = { out, err, currentFolder, signal: controller.signal }
  return { terminal, out, err, stop: () => controller.abort() }
}
