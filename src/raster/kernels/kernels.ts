import { WASM_BASE64 } from './wasm.generated.js'

/** What assembly/index.ts exports. Offsets are bytes into `memory`; wrappers beside this file give them types. */
export interface KernelExports {
  memory: WebAssembly.Memory
  heapBase(): number
  addRowBlocks(row: number, width: number, factor: number, sums: number): void
}

let exports: KernelExports | undefined

/** This thread's own instance of the module; compiled on first use. */
export function kernels(): KernelExports {
  exports ??= new WebAssembly.Instance(new WebAssembly.Module(Buffer.from(WASM_BASE64, 'base64')))
    .exports as unknown as KernelExports
  return exports
}

/**
 * Byte offsets of scratch blocks of the given byte lengths, 16-byte aligned, growing the memory where needed. The
 * blocks are good until the next call: a wrapper asks once, copies in, calls, copies out. Take views on
 * `kernels().memory.buffer` only after this call, as growing detaches older ones.
 */
export function scratch(...byteLengths: number[]): number[] {
  const { memory, heapBase } = kernels()
  const offsets: number[] = []
  let end = (heapBase() + 15) & ~15
  for (const length of byteLengths) {
    offsets.push(end)
    end = (end + length + 15) & ~15
  }
  const missing = end - memory.buffer.byteLength
  if (missing > 0) memory.grow(Math.ceil(missing / 65536))
  return offsets
}
