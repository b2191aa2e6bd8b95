import { fileURLToPath } from 'node:url'
import react from '@vitejs/plugin-react'
import { defineConfig } from 'electron-vite'

const here = (path: string): string => fileURLToPath(new URL(path, import.meta.url))

export default defineConfig({
  main: {
    build: {
      target: 'node20.19',
      outDir: 'out/main',
      rolldownOptions: {
        input: { start: here('src-main/start.ts'), desktop: here('src-main/desktop.ts'), cli: here('src-main/cli.ts'), worker: here('src-main/service/worker.ts'), 'pages-worker': here('src-main/service/record/pages-worker.ts'), bench: here('tests/perf/bench.ts'), pictures: here('tests/e2e/pictures.ts') },
        external: ['playwright-core'],
        // Chunks lie beside the entries: in a subfolder new URL('../renderer', import.meta.url) would resolve wrongly.
        output: { format: 'es', entryFileNames: '[name].js', chunkFileNames: '[name]-[hash].js' },
      },
    },
  },
  preload: {
    build: {
      target: 'node20.19',
      outDir: 'out/preload',
      // A sandboxed preload can require only what the sandbox hands out: all else is bundled.
      externalizeDeps: false,
      rolldownOptions: { input: here('src-main/preload.ts'), output: { format: 'cjs', entryFileNames: '[name].cjs' } },
    },
  },
  renderer: {
    root: here('src-renderer'),
    base: './',
    plugins: [react()],
    build: {
      outDir: here('out/renderer'),
      assetsInlineLimit: 0,
      modulePreload: { polyfill: false },
      minify: true,
      rolldownOptions: { input: here('src-renderer/index.html') },
    },
  },
})
