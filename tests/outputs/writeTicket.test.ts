import { describe, expect, it } from 'vitest'
import { CAUTIONS } from '../../src/outputs/cautions.js'
import { OUTPUTS } from '../../src/outputs/registry.js'
import { ticketText } from '../../src/outputs/writeTicket.js'
import { masterInfo } from './derived.js'

const credit = { creator: 'A. Painter', rights: '', contact: '' }

describe('ticketText', () => {
  it('says for each output where it lies, and what to check, with every caution', () => {
    const master = masterInfo(7000, 5000, { ppi: 400 })
    const plans = [
      ['print', { name: 'full', sheet: 'A3+', media: 'matt cotton 310 g, coated side up' }],
      ['card', { name: 'small', back: 'Harbour' }],
    ].map(([kind, written]) => {
      const output = OUTPUTS.get(kind as string)!
      const params = output.params.parse(written)
      return {
        kind: kind as string,
        name: (written as { name: string }).name,
        plan: output.plan(params, master),
      }
    })
    const text = ticketText({ title: 'Harbour at low tide', credit, plans, cautions: CAUTIONS })
    expect(text).toMatch(
      /^# Job ticket: Harbour at low tide\n\n- Creator: A\. Painter\n\n## full \(print\)\n\n- File: `prints\/full\.tif`/,
    )
    expect(text).toContain('- Print sheet: A3+, 483 x 329 mm, landscape')
    expect(text).toContain(
      '- Picture: 418.6 x 299 mm, 32.2 mm from the left and 15 mm from the top; 32.2 mm are left at the right and 15 mm at the foot',
    )
    expect(text).toContain('matt cotton 310 g')
    expect(text).toContain('- Print sheet: A4, 210 x 297 mm, upright; 1 card on it')
    expect(text).toContain('- Flat card: 148 x 210 mm, 31 mm from the left and 43.5 mm from the top, trimmed')
    expect(text).toMatch(/- \[ \] Nozzle check/)
    expect(text).toMatch(/ISO 3664/)
    for (const caution of CAUTIONS) expect(text).toContain(`- ${caution}`)
    expect(text).toMatch(/[^\n]\n$/)
    expect(text).not.toMatch(/undefined|NaN|\n{3}/)
  })

  it('is a ticket too where nothing is printed', () => {
    const text = ticketText({
      title: 'X',
      credit: { creator: '', rights: '', contact: '' },
      plans: [],
      cautions: CAUTIONS,
    })
    expect(text).toContain('the master alone was made')
    expect(text).not.toContain('Nozzle')
  })
})
