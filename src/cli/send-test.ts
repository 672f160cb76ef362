import { randomUUID } from 'node:crypto';
import { Command } from 'commander';
import { sendTest } from '../app/send-test.ts';
import { loadConfig } from '../config/load.ts';
import { EXIT } from '../errors.ts';
import { stopSignal, type Finish, type Io } from './io.ts';

export function sendTestCommand(io: Io, finish: Finish): Command {
  return new Command('send-test')
    .description('Send a person a message that asks for nothing, over every channel that reaches them.')
    .argument('<person>', 'id of the person')
    .requiredOption('-c, --config <file>', 'config file')
    .action(async (person: string, options: { readonly config: string }) => {
      const sent = await sendTest({
        config: loadConfig(options.config),
        surroundings: io,
        person,
        now: io.now(),
        nonce: randomUUID(),
        signal: stopSignal(),
      });
      io.write(`Handed over to: ${sent.join(', ')}.\n`);
      finish(EXIT.ok);
    });
}
