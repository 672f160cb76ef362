import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

/** The quick tests of src/model and src/decision: mutation testing runs them again for every change of the code. */
export default defineConfig({
  root: fileURLToPath(new URL('..', import.meta.url)),
  test: {
    include: ['tests/{model,decision,published}/**/*.test.ts'],
    // Seconds each: they solve differential equations, try hundreds of random units or count what is allocated.
    exclude: ['tests/model/{reference,properties,network-properties,heated-part,allocation}.test.ts'],
    // A worker that starts anew for each file would spend its time on imports.
    isolate: false,
    testTimeout: 60_000,
  },
});
