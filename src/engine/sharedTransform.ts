import type { InputTransform } from '../colour/InputTransform.js'

const sharedCopy = (values: Float32Array): Float32Array => {
  if (values.buffer instanceof SharedArrayBuffer) return values
  const copy = new Float32Array(new SharedArrayBuffer(values.byteLength))
  copy.set(values)
  return copy
}

/** A transform whose tables lie on shared memory, so that handing it to a worker copies nothing. */
export function sharedTransform(transform: InputTransform): InputTransform {
  const curves = transform.curves.map(sharedCopy) as InputTransform['curves']
  return transform.kind === 'grid'
    ? { ...transform, curves, grid: sharedCopy(transform.grid) }
    : { ...transform, curves }
}
