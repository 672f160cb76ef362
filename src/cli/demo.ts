/** The main job on the bundled scenario: its own config, its own clock, the real pipeline. */
import { relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Command } from 'commander';
import { checkAnswer } from '../app/check-answer.ts';
import { createLogger } from '../app/logger.ts';
import { once } from '../app/once.ts';
import { loadConfig } from '../config/load.ts';
import { parseInstant } from '../quantity/instant.ts';
import { checkTable } from './check-table.ts';
import { stopSignal, type Finish, type Io } from './io.ts';

const CONFIG = new URL('../../config/demo/drainby.yaml', import.meta.url);
/** The scenario's own time. */
const NOW = '2026-11-12T15:00:00Z';

export function demoCommand(io: Io, finish: Finish): Command {
  return new Command('demo')
    .description('Run the main job once on the bundled scenario.')
    .action(async () => {
      const config = loadConfig(relative(process.cwd(), fileURLToPath(CONFIG)));
      const now = parseInstant(NOW) ?? Number.NaN;
      const log = createLogger(io.env['DRAINBY_LOG'] ?? 'warn');
      const { outcome, delivery, exit } = await once({
        config,
        surroundings: io,
        now: () => now,
        signal: stopSignal(),
        log,
      });
      io.write(`The bundled scenario, as of ${NOW}.\n\n`);
      io.write(checkTable(checkAnswer(config, outcome.evaluation)));
      const directory = config.delivery.file?.directory ?? '';
      const shown = relative(process.cwd(), directory);
      if (outcome.enqueued === 0) {
        io.write(`\nNothing is new since the last run: no message was sent again. They are in ${shown}.\n`);
      } else {
        const example = outcome.messages.find((m) => m.kind === 'act') ?? outcome.messages[0];
        io.write(`\nOne of the ${delivery.sent} messages, as text:\n\n`);
        io.write(
          `To: ${example?.to.name ?? ''}\nSubject: ${example?.subject ?? ''}\n\n${example?.text ?? ''}\n`,
        );
        io.write(`All of them, as full mails with text and HTML: ${shown}/*.eml\n`);
      }
      finish(exit);
    });
}
