import { type Correction, FLAT, fieldTerms, type LightField } from './LightField.js'
import type { LightMatch } from './measureLight.js'
import { median } from './median.js'

/** Parts across and down a capture that count as seen where a match lies in them. */
const PARTS = 6
/** Where no other capture says so, no place is lifted or lowered by more than this (as a logarithm). */
const MOST_UNSEEN = 0.03
const ROUNDS = 20

export interface Limited {
  corrections: Correction[]
  /** The most that overlaps alone say of any place no other capture sees, as a share: 0.05 is 5 %. */
  concluded: number
  /** Of which capture. */
  capture: number
  /** Share of the fields that is kept. */
  kept: number
}

/**
 * Holds fields back where only their form speaks for them: a sheet that curls towards an edge looks like a lamp that falls
 * off. All fields are weakened together, so that what captures share still agrees, and gains are matched anew.
 * @param sure a part of every field that nothing else looks like: it is kept whole
 */
export function limitFields(
  corrections: readonly Correction[],
  matches: readonly LightMatch[],
  sure: LightField = FLAT,
): Limited {
  let [most, capture] = [0, 0]
  for (const [i, { field }] of corrections.entries()) {
    const seen = new Set<number>()
    for (const { first, second, a, b } of matches) {
      if (first === i) seen.add(partOf(a))
      if (second === i) seen.add(partOf(b))
    }
    if (!seen.size) continue
    for (let part = 0; part < PARTS * PARTS; part++) {
      if (seen.has(part)) continue
      const [p, q] = [part % PARTS, Math.floor(part / PARTS)]
      // The part's outermost point: the capture's border where it lies there.
      const out = (k: number) => (k === 0 ? -1 : k === PARTS - 1 ? 1 : (2 * (k + 0.5)) / PARTS - 1)
      const log = Math.abs(logAt(minus(field, sure), fieldTerms(out(p), out(q))))
      if (log > most) [most, capture] = [log, i]
    }
  }
  const kept = Math.min(1, MOST_UNSEEN / Math.max(most, 1e-9))
  const limited = { concluded: Math.exp(most) - 1, capture, kept }
  if (kept === 1) return { ...limited, corrections: [...corrections] }
  const weakened = corrections.map(({ gain, field }) => ({
    gain: [...gain] as Correction['gain'],
    field: minus(field, sure).map((value, k) => value * kept + sure[k]) as LightField,
  }))
  matchGains(weakened, matches)
  return { ...limited, corrections: weakened }
}

const minus = (field: LightField, other: LightField) =>
  field.map((value, k) => value - other[k]) as LightField

const logAt = (field: LightField, terms: LightField) =>
  terms.reduce((sum, term, k) => sum + term * field[k], 0)

function partOf([u, v]: LightField): number {
  const part = (value: number) => Math.min(PARTS - 1, Math.max(0, Math.floor(((value + 1) / 2) * PARTS)))
  return part(v) * PARTS + part(u)
}

/** Gains that bring each pair's median to agree, each capture in turn; their geometric mean stays. */
function matchGains(corrections: readonly Correction[], matches: readonly LightMatch[]): void {
  for (let c = 0; c < 3; c++) {
    const logs = corrections.map(({ gain }) => Math.log(gain[c]))
    const middle = logs.reduce((sum, log) => sum + log, 0) / logs.length
    const left = new Map<string, number[]>()
    for (const { first, second, a, b, logs: measured } of matches) {
      const key = `${first} ${second}`
      const list = left.get(key) ?? []
      left.set(key, list)
      // What second / first still is once both fields are evened out.
      list.push(measured[c] + logAt(corrections[second].field, b) - logAt(corrections[first].field, a))
    }
    const pairs = [...left].map(([key, list]) => {
      const [first, second] = key.split(' ').map(Number)
      return { first, second, log: median(list), weight: list.length }
    })
    for (let round = 0; round < ROUNDS * logs.length; round++) {
      const i = round % logs.length
      let [sum, weights] = [0, 0]
      for (const { first, second, log, weight } of pairs) {
        if (first === i) sum += weight * (logs[second] + log)
        else if (second === i) sum += weight * (logs[first] - log)
        else continue
        weights += weight
      }
      if (weights > 0) logs[i] = sum / weights
    }
    const now = logs.reduce((sum, log) => sum + log, 0) / logs.length
    for (const [i, { gain }] of corrections.entries()) gain[c] = Math.exp(logs[i] - now + middle)
  }
}
