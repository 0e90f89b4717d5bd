import type { StitchReading } from '../Reading.js'

/** A reading by which one capture alone lies on the sheet, its light as the whole reading has it. */
export const alone = (reading: StitchReading, index: number): StitchReading => ({
  ...reading,
  combining: undefined,
  layers: [
    {
      captures: [index],
      seams: { cellPx: Math.max(reading.width, reading.height), width: 1, height: 1, runs: [index, 1] },
    },
  ],
})
