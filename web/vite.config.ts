import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vite';

// `npm run dev` shows the page as it is written, over a server that runs already.
const server = process.env.STEADYPULL ?? 'http://127.0.0.1:7411';

export default defineConfig({
  plugins: [svelte()],
  build: {
    target: 'es2022',
    // The content-security policy allows no data: script and no inline style.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
  },
  server: { proxy: { '/api': { target: server, changeOrigin: true, headers: { origin: server } } } },
});
