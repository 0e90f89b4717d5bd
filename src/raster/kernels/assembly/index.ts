// One line a kernel file. Every exported function works on byte offsets into the module's memory (see ../kernels.ts).
export * from './boxSum'
