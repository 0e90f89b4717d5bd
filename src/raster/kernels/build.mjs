// Compiles the kernels to one WebAssembly module and embeds it in a TypeScript module, so that pure code can load it
// without touching files.
import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const here = dirname(fileURLToPath(import.meta.url))
const asc = join(
  dirname(createRequire(import.meta.url).resolve('assemblyscript/package.json')),
  'bin',
  'asc.js',
)
const work = mkdtempSync(join(tmpdir(), 'kernels-'))
const wasm = join(work, 'kernels.wasm')
try {
  execFileSync(
    process.execPath,
    [
      asc,
      join(here, 'assembly', 'index.ts'),
      ...['--outFile', wasm, '-O3', '--noAssert', '--runtime', 'stub', '--enable', 'simd', '--use', 'abort='],
      ...['--initialMemory', '16', '--maximumMemory', '16384'],
    ],
    { stdio: 'inherit' },
  )
  const text = `// Made by build.mjs from assembly/. Not to be edited.\nexport const WASM_BASE64 =\n  '${readFileSync(wasm).toString('base64')}'\n`
  const target = join(here, 'wasm.generated.ts')
  let before = ''
  try {
    before = readFileSync(target, 'utf8')
  } catch {}
  if (before !== text) writeFileSync(target, text)
} finally {
  rmSync(work, { recursive: true, force: true })
}
