/** The part of the WebAssembly JavaScript interface that `kernels.ts` uses; the compiler's own typing of it comes only with the browser's. */
declare namespace WebAssembly {
  class Memory {
    readonly buffer: ArrayBuffer
    grow(pages: number): number
  }
  class Module {
    constructor(bytes: Uint8Array)
  }
  class Instance {
    constructor(module: Module)
    readonly exports: Record<string, unknown>
  }
}
