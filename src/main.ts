#!/usr/bin/env node
import { keepSignals } from './cli/signals.ts';

// First of all, since all else takes time to load.
const early = keepSignals();
// Memory and messages name people and where they are not at home: files are for this user only.
process.umask(0o077);
const { runProgram } = await import('./cli/cli.ts');
process.exitCode = await runProgram(process.argv.slice(2), early);
