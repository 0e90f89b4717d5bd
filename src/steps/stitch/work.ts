import type { Source } from '../../raster/Source.js'
import { agreement } from './place/alignPlacement.js'
import { findFeatures } from './place/features/findFeatures.js'
import { linkOf } from './place/linkOf.js'
import { measurePair } from './refine/measurePair.js'
import { measureViews } from './refine/measureViews.js'
import { measureSharpness } from './seams/measureSharpness.js'
import { takeView } from './views/takeView.js'
import type { WorkTask } from './WorkTask.js'

/** Does one part of a reading; see WorkTask.ts. */
export function work(sources: readonly Source[], task: unknown): unknown {
  const asked = task as WorkTask
  switch (asked.part) {
    case 'view': {
      const view = takeView(sources[asked.index], asked.upright, asked.size)
      return { view, features: findFeatures(view) }
    }
    case 'link':
      return linkOf(asked)
    case 'compare': {
      const alignment = agreement(...asked.views, asked.level, asked.map)
      return alignment && { alignment, measured: measureViews(asked) }
    }
    case 'measure':
      return measurePair([sources[asked.first], sources[asked.second]], asked)
    case 'sharpness':
      return measureSharpness([sources[asked.first], sources[asked.second]], asked)
  }
}
