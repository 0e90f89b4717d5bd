import { defineSpace } from './defineSpace.js'

/** ROMM RGB; its primaries, linear, are the working space. Source: ISO 22028-2. */
export const ROMM_RGB = defineSpace({
  name: 'ROMM RGB',
  standard: 'ISO 22028-2',
  primariesXy: [
    [0.7347, 0.2653],
    [0.1596, 0.8404],
    [0.0366, 0.0001],
  ],
  whiteXy: [0.3457, 0.3585],
  curve: { g: 1.8, a: 1, b: 0, c: 1 / 16, d: 1 / 32 },
})
