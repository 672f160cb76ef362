/** The main job on the bundled scenario: its own config, its own clock, the real pipeline. */
import { existsSync, mkdirSync, readdirSync } from 'node:fs';
import { dirname, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Command } from 'commander';
import { checkAnswer } from '../app/check-answer.ts';
import { createLogger } from '../app/logger.ts';
import { once, type OnceResult } from '../app/once.ts';
import type { Config } from '../config/config.ts';
import { loadConfig } from '../config/load.ts';
import type { OutgoingMessage } from '../message/message.ts';
import { parseInstant } from '../quantity/instant.ts';
import { checkTable } from './check-table.ts';
import { stopSignal, type Finish, type Io } from './io.ts';

const CONFIG = new URL('../../config/demo/drainby.yaml', import.meta.url);
/** The scenario's own time. */
const NOW = '2026-11-12T15:00:00Z';

const INTRODUCTION = `A made-up scenario: no real people, places or weather. It is 08:00 on Thursday
12 November 2026, and a cold front comes through on Friday night.

  Wren    lives in Heron, a fifth wheel on a campground that stays open late;
          Wagtail, the truck camper beside it, was blown out in October
  Sol     owns a gravel lot with four customers' units on it; Ivy helps
  Marlow  ends the season: Otter still has its water, Plover was drained

What each unit needs, by when, and why:
`;

export function demoCommand(io: Io, finish: Finish): Command {
  return new Command('demo')
    .description('Run the main job once on the bundled scenario.')
    .action(async () => {
      const config = loadConfig(shown(fileURLToPath(CONFIG)));
      makeDirectory(dirname(config.store.path));
      const now = parseInstant(NOW) ?? Number.NaN;
      const result = await once({
        config,
        surroundings: io,
        now: () => now,
        signal: stopSignal(),
        log: createLogger(io.env['DRAINBY_LOG'] ?? 'warn'),
      });
      io.write(`${INTRODUCTION}\n${checkTable(checkAnswer(config, result.outcome.evaluation))}\n`);
      io.write(`${sentText(config, result).join('\n')}\n`);
      finish(result.exit);
    });
}

/** A directory that cannot be made is told of, with a hint, by the store. */
function makeDirectory(directory: string): void {
  try {
    mkdirSync(directory, { recursive: true });
  } catch {
    // Nothing to add to what the store says.
  }
}

function sentText(config: Config, { outcome, delivery }: OnceResult): string[] {
  const directory = config.delivery.file?.directory ?? '';
  const startOver = `To start over, remove ${shown(dirname(config.store.path))} and run the demo again.`;
  if (delivery.sent === 0) {
    const there = mailsIn(directory);
    return [
      'Nothing is new since the last run, so nothing was sent again.',
      there === 0
        ? `The messages of that run are no longer in ${shown(directory)}.`
        : `The ${there} messages of that run are still in ${shown(directory)}.`,
      startOver,
    ];
  }
  return [
    ...exampleText(outcome.messages),
    `${delivery.sent} messages were sent, here into files: open them with any mail program.`,
    `  ${shown(directory)}/*.eml`,
    '',
    'Run the demo again: it remembers what it said and sends nothing twice.',
    startOver,
    'Your own places and units: start from config/example.yaml.',
  ];
}

/** The one that asks for the least work first: it is the shortest to read. */
function exampleText(messages: readonly OutgoingMessage[]): string[] {
  const example = messages.find((m) => m.action === 'drain') ?? messages[0];
  if (example === undefined) return [];
  const { name, email } = example.to;
  const rule = '='.repeat(80);
  return [
    `One of the messages, as ${name} reads it:`,
    rule,
    `To: ${name}${email === null ? '' : ` <${email}>`}`,
    `Subject: ${example.subject}`,
    '',
    example.text.trimEnd(),
    rule,
    '',
  ];
}

function mailsIn(directory: string): number {
  return existsSync(directory) ? readdirSync(directory).filter((name) => name.endsWith('.eml')).length : 0;
}

/** From here where that is below here, else absolute. */
function shown(path: string): string {
  const below = relative(process.cwd(), path);
  return below === '' || below.startsWith('..') ? path : below;
}
