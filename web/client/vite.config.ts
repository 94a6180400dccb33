import preact from '@preact/preset-vite';
import { defineConfig } from 'vite';

export default defineConfig({
  plugins: [preact()],
  cacheDir: '../../.cache/vite-client',
  build: {
    outDir: '../../dist/web/client',
    emptyOutDir: true,
    target: 'es2022',
    sourcemap: true,
    // Everything is a file of its own: the server's content policy allows no inline scripts, styles or data addresses.
    assetsInlineLimit: 0,
  },
});
