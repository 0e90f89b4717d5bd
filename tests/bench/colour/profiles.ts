import { chartCapture } from '../../../demo-data/chartCapture.js'
import { captureSource } from '../../../src/colour/captureSource.js'
import { spaceTransform } from '../../../src/colour/spaceTransform.js'
import { deviceColour } from '../../../src/engine/deviceColour.js'
import { profile } from '../../../src/outputs/profile/profile.js'
import { emptyRaster } from '../../../src/raster/Raster.js'
import { colour } from '../../../src/steps/colour/step.js'
import { readContext } from '../../helpers/readContext.js'
import { keepingContext, masterInfo } from '../../outputs/derived.js'
import { row } from '../row.js'

/** Input profiles of painted sessions, applied by Little CMS. */
export async function profiles(): Promise<void> {
  const sRGB = spaceTransform('sRGB')
  const deviceToWorking = sRGB.kind === 'matrix' ? sRGB.matrix : undefined
  for (const device of ['scanner', 'camera'] as const) {
    for (const fit of ['matrix', 'root-polynomial', 'root-polynomial-3'] as const) {
      const { raster } = chartCapture({
        ...{ width: 600, height: 450, device, noise: 0.002, blurPx: 0.5, seed: 4, falloff: 0.05 },
        ...{ lampFromDeg: 40, rotationDeg: 20, perspective: 0.05, share: 0.7 },
      })
      const chart = { source: captureSource(raster, sRGB), info: { deviceToWorking } }
      const params = colour.params.parse({ chart: 'chart', fit })
      const reading = await colour.read([], params, readContext([], { auxiliaryCaptures: { chart } }))
      const kept = keepingContext(captureSource(emptyRaster(4, 4), sRGB), masterInfo(4, 4))
      const own = deviceColour(sRGB, [{ name: 'colour', params, reading }])
      await profile.render(profile.params.parse({}), { ...kept.context, deviceColour: own })
      for (const said of kept.said) {
        if (said.kind !== 'number') continue
        row(
          `profile, ${device}, ${fit}`,
          `${said.value.toFixed(3)} dE2000, p95`,
          `at most 0.3 (${Math.round(kept.bytes[0].bytes.length / 1000)} kB)`,
          said.value <= 0.3,
        )
      }
    }
  }
}
