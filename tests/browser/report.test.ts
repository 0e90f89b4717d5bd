import { existsSync } from 'node:fs'
import { readFile, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { type Browser, chromium, type Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { runPipeline } from '../../src/engine/runPipeline.js'
import { loadPipeline } from '../../src/pipeline/loadPipeline.js'
import type { RunRecord } from '../../src/runRecord.js'
import { keptFolder } from '../helpers/temporaryFolder.js'
import { testCapture } from '../helpers/testCapture.js'

const BROWSERS = [
  process.env.CHROMIUM,
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
  '/snap/bin/chromium',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
]
const executablePath = BROWSERS.find((path) => path !== undefined && existsSync(path))
if (!executablePath) {
  console.warn(
    'The report was not opened in a browser: no Chromium in the usual places (set CHROMIUM to one).',
  )
}

/** An untagged capture, a name that is long and a card that cuts: the report has something to warn of. */
const JOB = `title: A wash in the morning, before the wind turned
captures: { kind: flatbed, files: [a-capture-with-quite-a-long-name-from-the-scanner.tif] }
steps:
  - paper-texture
  - paper-white
  - hue: [ { around: blue, width: 60, shift: -10 } ]
outputs:
  - print: { name: small, image: { width: 60mm } }
  - card: { name: card, format: a6-folded }
`

describe.skipIf(!executablePath)('the report in a browser', () => {
  let browser: Browser
  let report: string
  let record: RunRecord

  beforeAll(async () => {
    const { folder, remove } = await keptFolder()
    afterAll(remove)
    await testCapture(folder, 'a-capture-with-quite-a-long-name-from-the-scanner.tif', 900, 640)
    await writeFile(join(folder, 'job.yaml'), JOB)
    const signal = new AbortController().signal
    const out = join(folder, 'out')
    record = await runPipeline(await loadPipeline(join(folder, 'job.yaml')), {
      ...{ outFolder: out, overwrite: false, signal, onEvent: () => {} },
    })
    report = join(out, 'report', 'index.html')
    browser = await chromium.launch({ executablePath, args: ['--no-sandbox'] })
    afterAll(() => browser.close())
  })

  /** The report opened, with everything that it said to the console or asked of anyone. */
  async function opened(width: number, height = 900): Promise<{ page: Page; heard: string[] }> {
    const page = await browser.newPage({ viewport: { width, height } })
    const heard: string[] = []
    page.on('console', (message) => heard.push(`console: ${message.text()}`))
    page.on('pageerror', (error) => heard.push(`error: ${error.message}`))
    page.on('request', (request) => {
      const url = request.url()
      if (!url.startsWith('data:') && url !== pathToFileURL(report).href) heard.push(`request: ${url}`)
    })
    await page.goto(pathToFileURL(report).href)
    return { page, heard }
  }

  it('opens from disk without a word, and asks nothing of the network', async () => {
    const { page, heard } = await opened(1600)
    await page.evaluate(() => Promise.all([...document.images].map((image) => image.decode())))
    expect(heard).toEqual([])
    const images = await page.evaluate(() => [...document.images].map((image) => image.naturalWidth))
    expect(images.length).toBeGreaterThan(10)
    expect(Math.min(...images)).toBeGreaterThan(0)
    expect(await page.title()).toContain('A wash in the morning')
    await page.close()
  })

  it('says first what the person should know, then the job in short', async () => {
    const { page } = await opened(1600)
    const order = await page.evaluate(() =>
      [...document.querySelectorAll('main > section')].map((section) => section.id),
    )
    expect(order).toEqual(['warnings', 'summary', 'picture', 'steps', 'outputs', 'record', 'cautions'])
    const warned = await page.locator('#warnings li').allTextContents()
    expect(record.warnings.length).toBeGreaterThan(0)
    expect(warned).toHaveLength(record.warnings.length)
    const short = await page.locator('#summary').textContent()
    for (const { path } of record.outputs) expect(short).toContain(path)
    for (const step of ['paper-texture', 'paper-white', 'hue']) expect(short).toContain(step)
    await page.close()
  })

  it('has no number with more digits than anyone reads', async () => {
    const { page } = await opened(1600)
    const text = (await page.locator('main').textContent())!
    expect(text.match(/\d+\.\d{5,}/g) ?? []).toEqual([])
    expect(text).not.toMatch(/NaN|undefined|\[object|Infinity/)
    await page.close()
  })

  it('moves the border between captures and master by slider, by keys and by hand', async () => {
    const { page } = await opened(1600)
    const edge = page.locator('.wipe .edge')
    const frame = (await page.locator('.wipe .frame').boundingBox())!
    const share = async () => ((await edge.boundingBox())!.x - frame.x) / frame.width
    expect(await share()).toBeCloseTo(0.5, 2)
    await page.locator('.wipe input').fill('20')
    expect(await share()).toBeCloseTo(0.2, 2)
    await page.locator('.wipe input').press('Home')
    expect(await share()).toBeCloseTo(0, 2)
    await page.locator('.wipe .frame').click({ position: { x: 0.75 * frame.width, y: frame.height / 2 } })
    expect(await share()).toBeCloseTo(0.75, 2)
    const clip = await page.locator('.wipe .over').evaluate((image) => getComputedStyle(image).clipPath)
    expect(Number(/([\d.]+)%\)$/.exec(clip)?.[1])).toBeCloseTo(75, 0)
    await page.close()
  })

  it.each([400, 800, 1200, 1600])('fits a window of %d px without scrolling sideways', async (width) => {
    const { page } = await opened(width)
    await page.evaluate(() => {
      for (const one of document.querySelectorAll('details')) one.open = true
    })
    const { across, within } = await page.evaluate(() => ({
      across: document.documentElement.scrollWidth,
      within: document.documentElement.clientWidth,
    }))
    expect(across).toBeLessThanOrEqual(within)
    const pixel = Number(
      await page.locator('body').evaluate((body) => parseFloat(getComputedStyle(body).fontSize)),
    )
    expect(pixel).toBeGreaterThanOrEqual(14)
    await page.close()
  })

  it('prints on A4 with everything unfolded and nothing cut at the right', async () => {
    // 180 mm between margins of 15 mm, at the 96 px an inch of CSS.
    const { page } = await opened(680)
    const bytes = await page.pdf({ format: 'A4', preferCSSPageSize: true, printBackground: false })
    expect(bytes.subarray(0, 5).toString()).toBe('%PDF-')
    await page.emulateMedia({ media: 'print' })
    await page.evaluate(() => dispatchEvent(new Event('beforeprint')))
    expect(await page.locator('details:not([open])').count()).toBe(0)
    expect(await page.locator('nav').isVisible()).toBe(false)
    expect(await page.locator('.wipe input').isVisible()).toBe(false)
    const across = await page.evaluate(() => document.documentElement.scrollWidth)
    expect(across).toBeLessThanOrEqual(680)
    await page.evaluate(() => dispatchEvent(new Event('afterprint')))
    expect(await page.locator('details:not([open])').count()).toBeGreaterThan(0)
    await page.close()
  })

  it('is one file that tells nothing of the machine', async () => {
    const text = await readFile(report, 'utf8')
    expect(text).not.toContain(join(report, '../../..'))
    expect(text).not.toMatch(/(?:src|href)="(?!data:|#)/)
  })
})
