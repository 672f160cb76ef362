import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';
import { BaseSequencer, type TestSpecification } from 'vitest/node';

/** Those that ask a solver or try random units, in tenths of seconds and more: most changes are noticed before. */
const LAST =
  /\/(zones|zones-limits|part|part-swing|part-limits|dip|resonance|air-limits|damage|supply)\.test\.ts$/;

class QuickFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    // oxlint-disable-next-line unicorn/no-array-sort -- vitest names it so; it gives a list of its own
    const sorted = await super.sort(files);
    const isLast = ({ moduleId }: TestSpecification): boolean => LAST.test(moduleId);
    return [...sorted.filter((file) => !isLast(file)), ...sorted.filter(isLast)];
  }
}

/** The quick tests of src/model and src/decision: mutation testing runs them again for every change of the code. */
export default defineConfig({
  root: fileURLToPath(new URL('..', import.meta.url)),
  test: {
    include: ['tests/{model,decision,published}/**/*.test.ts'],
    // Seconds each: they solve differential equations, try hundreds of random units or count what is allocated.
    exclude: ['tests/model/{reference,properties,network-properties,heated-part,allocation}.test.ts'],
    sequence: { sequencer: QuickFirst },
    // A worker that starts anew for each file would spend its time on imports.
    isolate: false,
    testTimeout: 60_000,
  },
});
