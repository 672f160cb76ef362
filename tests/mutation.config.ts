import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

/** The quick tests of src/model and src/decision, for mutation testing: each change of the code runs them again. */
export default defineConfig({
  root: fileURLToPath(new URL('..', import.meta.url)),
  test: {
    include: ['tests/{model,decision,published}/**/*.test.ts'],
    exclude: ['tests/model/reference.test.ts'],
    // A worker that starts anew for each file would spend its time on imports.
    isolate: false,
    env: { MUTATION: '1' },
    testTimeout: 60_000,
  },
});
