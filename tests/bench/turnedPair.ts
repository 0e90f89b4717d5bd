import type { SheetKind } from '../../demo-data/Painting.js'
import { paint } from '../../demo-data/paint.js'
import { WorkError } from '../../src/errors.js'
import { paperTexture } from '../../src/steps/paper-texture/step.js'
import { reliefLeft } from '../../src/steps/stitch/combine/reliefLeft.js'
import { readContext } from '../helpers/readContext.js'
import { type PairNumbers, paintedPair } from '../steps/stitch/paintedPair.js'
import { row } from './row.js'

const SHEETS: SheetKind[] = ['tooth', 'laid', 'weave']
const DEPTHS = [0.5, 1, 1.5]
const SIZE = { width: 1200, height: 800 }

/** What one way of making the sheet measured, and all that is asked of it. */
class Numbers {
  readonly gain: number[] = []
  readonly blank: number[] = []
  readonly pencil: number[] = []
  readonly stroke: number[] = []
  readonly granulation: number[] = []
  readonly leak: number[] = []

  constructor(private readonly name: string) {}

  /** Adds one scene and prints its row. */
  add(scene: string, before: number, numbers: PairNumbers): void {
    const { gainDb, blankDb, pencil, stroke, granulation, leakPercent } = numbers
    this.gain.push(gainDb)
    this.blank.push(blankDb)
    this.pencil.push(pencil)
    this.stroke.push(stroke)
    this.granulation.push(granulation)
    this.leak.push(leakPercent)
    row(
      `${this.name}, ${scene}: ${before.toFixed(1)} dB`,
      `+${gainDb.toFixed(2)} dB`,
      `blank ${blankDb.toFixed(1)} dB, pencil ${pencil.toFixed(3)}, stroke ${stroke.toFixed(3)}, granulation ${granulation.toFixed(3)}, leak ${leakPercent.toFixed(2)} %`,
    )
  }

  print(): void {
    const mean = (list: number[]) => list.reduce((a, b) => a + b, 0) / list.length
    const least = (what: string, list: number[], asked: number) =>
      row(
        `${this.name}: ${what} kept, least`,
        Math.min(...list).toFixed(3),
        `at least ${asked}`,
        Math.min(...list) >= asked,
      )
    row(
      `${this.name}: PSNR gain, mean`,
      `${mean(this.gain).toFixed(2)} dB`,
      'at least 18 dB',
      mean(this.gain) >= 18,
    )
    row(
      `${this.name}: relief left on blank, mean`,
      `${mean(this.blank).toFixed(1)} dB`,
      'at most -24 dB',
      mean(this.blank) <= -24,
    )
    least('pencil', this.pencil, 0.98)
    least('stroke', this.stroke, 0.99)
    least('granulation', this.granulation, 0.97)
    row(
      `${this.name}: leak against the truth, mean`,
      `${mean(this.leak).toFixed(2)} %`,
      'at most 2 %',
      mean(this.leak) <= 2,
    )
  }
}

/**
 * A sheet captured twice, once turned by 180 degrees, over three sheets at three depths of relief: what combining leaves,
 * and what paper-texture makes of that.
 */
export async function turnedPair(): Promise<void> {
  const alone = new Numbers('pair')
  const both = new Numbers('pair + paper-texture')
  for (const sheet of SHEETS) {
    const painting = paint({ seed: 5, ...SIZE, ppi: 300, sheet })
    for (const reliefDepth of DEPTHS) {
      const { reading, joined, beforeDb, numbersOf } = await paintedPair(painting, reliefDepth)
      alone.add(`${sheet} ${reliefDepth}`, beforeDb, numbersOf(joined))
      const filtering = paperTexture.params.parse({})
      try {
        const left = reading.combining && reliefLeft(reading.combining)
        const context = { ...readContext([joined], { ppi: 300 }), reliefLeft: left }
        const relief = await paperTexture.read([joined], filtering, context)
        const filtered = paperTexture.apply([joined], relief, filtering)[0]
        both.add(`${sheet} ${reliefDepth}`, beforeDb, numbersOf(filtered))
      } catch (error) {
        if (!(error instanceof WorkError)) throw error
        row(`pair + paper-texture, ${sheet} ${reliefDepth}`, 'refused', error.message, false)
      }
    }
  }
  alone.print()
  both.print()
}
