/** A cut of a grid of cells in two, along the cheapest border. */
export interface CutProblem {
  width: number
  height: number
  /** 0: not part of it; 1: free; 2: belongs to the first side; 3: belongs to the second. */
  state: Uint8Array
  /** What it costs to part a cell from its right and from its lower neighbour; both non-negative. */
  right: Float32Array
  down: Float32Array
  /** What it costs to leave a free cell to the other side: above 0 it belongs with the second, below 0 with the first. */
  pull?: Float32Array
}

/**
 * The cheapest border between two sides of a grid: a minimum cut, found as a maximum flow by search trees that grow from
 * both sides and are kept between augmentations.
 * @returns 1 where a cell falls to the second side, 0 elsewhere
 * Source: Y. Boykov, V. Kolmogorov, "An experimental comparison of min-cut/max-flow algorithms for energy minimization in
 * vision", IEEE Trans. PAMI 26(9), 2004, pp. 1124-1137, doi:10.1109/TPAMI.2004.60 (method; from memory).
 */
export function minimumCut({ width, height, state, right, down, pull }: CutProblem): Uint8Array {
  const n = width * height
  const offset = [1, -1, width, -width]
  const opposite = [1, 0, 3, 2]
  // Capacity left from each cell towards its right, left, lower and upper neighbour.
  const capacity = [0, 1, 2, 3].map(() => new Float32Array(n))
  for (let i = 0; i < n; i++) {
    if (!state[i]) continue
    const x = i % width
    if (x + 1 < width && state[i + 1]) capacity[0][i] = capacity[1][i + 1] = right[i]
    if (i + width < n && state[i + width]) capacity[2][i] = capacity[3][i + width] = down[i]
  }
  const FREE = 0
  const SOURCE = 1
  const SINK = 2
  const ROOT = 4
  const NONE = 5
  const tree = new Uint8Array(n)
  /** Direction towards the parent, or ROOT, or NONE for an orphan. */
  const parent = new Uint8Array(n).fill(NONE)
  const distance = new Int32Array(n)
  const stamp = new Int32Array(n)
  let time = 0
  let active: number[] = []
  const queued = new Uint8Array(n)
  let head = 0
  const activate = (i: number) => {
    if (queued[i]) return
    queued[i] = 1
    active.push(i)
  }
  /** Capacity left between a root and its side's end. */
  const terminal = new Float32Array(n)
  for (let i = 0; i < n; i++) {
    if (!state[i]) continue
    const own = state[i] === 1 ? (pull?.[i] ?? 0) : state[i] === 2 ? -Infinity : Infinity
    if (own === 0) continue
    terminal[i] = Math.abs(own)
    tree[i] = own < 0 ? SOURCE : SINK
    parent[i] = ROOT
    distance[i] = 1
    activate(i)
  }
  /** Capacity from the source's side towards the sink's along direction `d` of cell i, seen from i's own tree. */
  const residual = (i: number, d: number, side: number) =>
    side === SOURCE ? capacity[d][i] : capacity[opposite[d]][i + offset[d]]
  const orphans: number[] = []

  const drain = (root: number, flow: number) => {
    terminal[root] -= flow
    if (terminal[root] > 0) return
    parent[root] = NONE
    orphans.push(root)
  }

  const augment = (fromSource: number, d: number) => {
    const toSink = fromSource + offset[d]
    let flow = capacity[d][fromSource]
    let i = fromSource
    while (parent[i] !== ROOT) {
      const p = i + offset[parent[i]]
      flow = Math.min(flow, capacity[opposite[parent[i]]][p])
      i = p
    }
    flow = Math.min(flow, terminal[i])
    i = toSink
    while (parent[i] !== ROOT) {
      flow = Math.min(flow, capacity[parent[i]][i])
      i += offset[parent[i]]
    }
    flow = Math.min(flow, terminal[i])
    capacity[d][fromSource] -= flow
    capacity[opposite[d]][toSink] += flow
    i = fromSource
    while (parent[i] !== ROOT) {
      const q = parent[i]
      const p = i + offset[q]
      capacity[opposite[q]][p] -= flow
      capacity[q][i] += flow
      if (capacity[opposite[q]][p] <= 0) {
        parent[i] = NONE
        orphans.push(i)
      }
      i = p
    }
    drain(i, flow)
    i = toSink
    while (parent[i] !== ROOT) {
      const q = parent[i]
      const p = i + offset[q]
      capacity[q][i] -= flow
      capacity[opposite[q]][p] += flow
      if (capacity[q][i] <= 0) {
        parent[i] = NONE
        orphans.push(i)
      }
      i = p
    }
    drain(i, flow)
  }

  /** Steps to the root, or a very large number where the way ends at an orphan. */
  const steps = (start: number): number => {
    let i = start
    let length = 0
    for (;;) {
      if (stamp[i] === time) {
        length += distance[i]
        break
      }
      if (parent[i] === ROOT) {
        stamp[i] = time
        distance[i] = 1
        length += 1
        break
      }
      if (parent[i] === NONE) return 2 ** 30
      length++
      i += offset[parent[i]]
    }
    const total = length
    for (let k = start, l = total; stamp[k] !== time; l--) {
      stamp[k] = time
      distance[k] = l
      if (parent[k] === ROOT) break
      k += offset[parent[k]]
    }
    return total
  }

  const adopt = () => {
    time++
    while (orphans.length) {
      const i = orphans.pop()!
      const side = tree[i]
      const x = i % width
      let best = NONE
      let bestLength = 2 ** 30
      for (let d = 0; d < 4; d++) {
        if ((d === 0 && x + 1 === width) || (d === 1 && x === 0)) continue
        const j = i + offset[d]
        if (j < 0 || j >= n || tree[j] !== side || parent[j] === NONE) continue
        const open = side === SOURCE ? capacity[opposite[d]][j] : capacity[d][i]
        if (open <= 0) continue
        const length = steps(j)
        if (length < bestLength) {
          bestLength = length
          best = d
        }
      }
      if (best !== NONE) {
        parent[i] = best
        stamp[i] = time
        distance[i] = bestLength + 1
        continue
      }
      for (let d = 0; d < 4; d++) {
        if ((d === 0 && x + 1 === width) || (d === 1 && x === 0)) continue
        const j = i + offset[d]
        if (j < 0 || j >= n || tree[j] !== side) continue
        const open = side === SOURCE ? capacity[opposite[d]][j] : capacity[d][i]
        if (open > 0) activate(j)
        if (parent[j] < 4 && j + offset[parent[j]] === i) {
          parent[j] = NONE
          orphans.push(j)
        }
      }
      tree[i] = FREE
    }
  }

  while (head < active.length) {
    const i = active[head]
    if (tree[i] === FREE) {
      queued[i] = 0
      head++
      continue
    }
    const side = tree[i]
    const x = i % width
    let met = -1
    for (let d = 0; d < 4 && met < 0; d++) {
      if ((d === 0 && x + 1 === width) || (d === 1 && x === 0)) continue
      const j = i + offset[d]
      if (j < 0 || j >= n || !state[j]) continue
      if (residual(i, d, side) <= 0) continue
      if (tree[j] === FREE) {
        tree[j] = side
        parent[j] = opposite[d]
        stamp[j] = stamp[i]
        distance[j] = distance[i] + 1
        activate(j)
      } else if (tree[j] !== side) {
        met = d
      }
    }
    if (met < 0) {
      queued[i] = 0
      head++
      if (head > 65536) {
        active = active.slice(head)
        head = 0
      }
      continue
    }
    if (side === SOURCE) augment(i, met)
    else augment(i + offset[met], opposite[met])
    adopt()
  }
  return tree.map((side) => (side === SINK ? 1 : 0))
}
