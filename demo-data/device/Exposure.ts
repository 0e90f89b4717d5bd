/** How light on the glass becomes numbers in a file. */
export interface Exposure {
  device: 'truth' | 'scanner' | 'camera'
  /** Standard deviation at mid grey, as a share of full scale. */
  noise: number
  gain: number
  seed: number
}

/** Linear signal of a perfect diffuser, as a share of full scale: devices leave room for what shines. */
export const HEADROOM = { truth: 1, scanner: 0.9, camera: 0.85 } as const
