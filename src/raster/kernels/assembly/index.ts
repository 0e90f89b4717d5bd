// One line a kernel file. Every exported function works on byte offsets into the module's memory (see ../kernels.ts).
export * from './blur'
export * from './boxSum'
export * from './colour'
export * from './corners'
export * from './correct'
export * from './fft'
export * from './levelOut'
export * from './jointBilateral'
export * from './logLight'
export * from './steadyRatios'
export * from './textureFinal'
export * from './texturePilot'
export * from './paperWhite'
export * from './products'
export * from './resample'
export * from './warp'
export * from './warpByAxes'
export * from './windowShift'
export * from './windows8'

/** Where the module's own static data end and scratch memory may begin. */
export function heapBase(): usize {
  return __heap_base
}
