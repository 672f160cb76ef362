/** Links as they go out: made at sending, by whatever key the database then holds. */
import { expect, it, onTestFinished } from 'vitest';
import { openMachinery } from '../../src/app/compose.ts';
import { runCli } from '../../src/cli/cli.ts';
import type { Io } from '../../src/cli/io.ts';
import { EXIT } from '../../src/errors.ts';
import { openToken } from '../../src/web/link.ts';
import { seconds } from '../support/instants.ts';
import { letter } from '../support/letter.ts';
import { recordingLog } from '../support/outbox.ts';
import { ANN, configOf, csvOf, probeUnit, scenario } from '../support/scenario.ts';

const NOW = '2026-11-10T12:00:00Z';
const SAID = letter({ text: 'Done?\ndrainby-answer:checked\n', createdAt: seconds(NOW), episode: 'e' });

function linked() {
  const web = { listen: '127.0.0.1:8787', publicUrl: 'https://drainby.example.org' };
  const series = csvOf({ start: NOW, temperatureC: [1, 1] });
  return scenario(
    { ...configOf({ units: [probeUnit()], people: [ANN] }), delivery: { console: true }, web },
    { 'series.csv': series },
  );
}

async function machinery(config: ReturnType<typeof linked>) {
  let now = seconds(NOW);
  const written: string[] = [];
  const opened = await openMachinery(config, {
    now: () => now,
    surroundings: { env: {}, write: (text) => void written.push(text) },
    signal: new AbortController().signal,
    log: recordingLog(),
  });
  onTestFinished(() => opened.close());
  return {
    store: opened.store,
    advance: (by: number) => void (now += by),
    send: async (): Promise<string> => {
      await opened.channels.get('console')!.send(SAID, new AbortController().signal);
      return written.at(-1) ?? '';
    },
  };
}

async function newLinkKey(file: string): Promise<readonly [exit: number, said: string]> {
  let said = '';
  const add = (text: string): void => void (said += text);
  const io: Io = { env: {}, write: add, complain: add, now: () => seconds(NOW) };
  return [await runCli(['store', 'new-link-key', '-c', file], io), said];
}

it('an attempt hours after the first one sends the same to the byte', async () => {
  const { send, advance } = await machinery(linked());
  const first = await send();
  advance(5 * 3600);
  expect(await send()).toBe(first);
  expect(first).toContain('https://drainby.example.org/a/');
});

it('a new key makes void what was sent, and what a running daemon sends from then on is good', async () => {
  const config = linked();
  const { send, store } = await machinery(config);
  const token = (text: string): string => /\/a\/(\S+)/.exec(text)?.[1] ?? '';
  const old = token(await send());
  expect(openToken(old, await store.linkKey(0), seconds(NOW)).ok).toBe(true);
  expect(await newLinkKey(config.file)).toEqual([
    EXIT.ok,
    'Links that were sent so far are void. Messages from now on carry new ones.\n',
  ]);
  const key = await store.linkKey(0);
  expect(openToken(old, key, seconds(NOW))).toEqual({ ok: false, why: 'void' });
  expect(openToken(token(await send()), key, seconds(NOW)).ok).toBe(true);
});

it('a new key is not asked of a database that is not there, and makes none', async () => {
  const config = linked();
  for (let call = 0; call < 2; call += 1)
    expect(await newLinkKey(config.file)).toEqual([
      EXIT.usage,
      expect.stringContaining('and no link was ever made'),
    ]);
});
