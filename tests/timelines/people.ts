/** What people do in a story: they follow the links of their mails, ask `check`, and change the config. */
import { readFileSync, writeFileSync } from 'node:fs';
import { expect } from 'vitest';
import { answerDesk } from '../../src/app/answer-desk.ts';
import { check, type CheckResult } from '../../src/app/check.ts';
import { loadConfig } from '../../src/config/load.ts';
import { openStore } from '../../src/store/open.ts';
import { seconds } from '../support/instants.ts';
import { recordingLog } from '../support/outbox.ts';
import { ANN, PROBE } from '../support/scenario.ts';
import { formOf, open, send, type Page } from '../web/answer-scene.ts';
import { serve } from '../web/post.ts';
import { HOUR, type Heard, type Says, type Story } from './story.ts';

export const BEN = { ...ANN, id: 'ben', name: 'Ben Example', email: 'ben@example.org' };
export const CLEO = { ...ANN, id: 'cleo', name: 'Cleo Example', email: 'cleo@example.org' };

/** A proxy stands before the pages, as in most homes: links name it, and the story goes round it. */
export const WEB = { listen: '127.0.0.1:8787', publicUrl: 'https://drainby.example.org' };

/** One cold spell in a mild time. */
export interface Cold {
  /** First hour of the cold; the hour before it is mild. */
  readonly from: string;
  readonly hours: number;
  readonly lowC: number;
}

/** Steps between mild and cold; between hours the air is linear. */
export function cold(spells: readonly Cold[], mildC = 6): Says {
  const known = spells.map(({ from, hours, lowC }) => ({ from: seconds(from), hours, lowC }));
  return (at) => known.find(({ from, hours }) => at >= from && at < from + hours * HOUR)?.lowC ?? mildC;
}

/** Another fitting in the open like the usual one, in a circuit of its own. */
export function fittingOf(circuit: string, over: object = {}): object {
  return { ...PROBE, id: `${circuit}-fitting`, circuit, ...over };
}

/** The last message of this kind to this person. */
export function lastOf(story: Story, kind: string, who = 'ann'): Heard {
  const found = story.heard.findLast((one) => one.kind === kind && one.to === who);
  if (found === undefined) throw new Error(`${who} was not told ${kind}`);
  return found;
}

/** Text without line breaks. */
export function textOf({ received }: Heard): string {
  return (received.mail.text ?? '').replaceAll(/\s+/g, ' ');
}

/** Words of the links that a mail offers, and where they lead. */
function linksIn({ received }: Heard): ReadonlyMap<string, string> {
  const html = typeof received.mail.html === 'string' ? received.mail.html : '';
  const found = [...html.matchAll(/<a [^>]*href="([^"]*\/a\/[^"]*)"[^>]*>([\s\S]*?)<\/a>/g)];
  return new Map(found.map(([, href = '', words = '']) => [plain(words), href.replaceAll('&amp;', '&')]));
}

function plain(html: string): string {
  return html
    .replaceAll(/<[^>]+>/g, '')
    .replaceAll('&#39;', "'")
    .trim();
}

/** Opens a link of a mail, which changes nothing, fills in the form, and presses its button. */
export async function press(
  story: Story,
  { mail, words }: { readonly mail: Heard; readonly words: string },
  filledIn: Readonly<Record<string, string | readonly string[]>> = {},
): Promise<Page> {
  const href = linksIn(mail).get(words);
  if (href === undefined)
    throw new Error(`no link "${words}" among: ${[...linksIn(mail).keys()].join(', ')}`);
  const { config, now: at } = story;
  const store = await openStore(config.store.path);
  try {
    const log = recordingLog();
    const now = (): number => at;
    const desk = answerDesk({ config, store, now, log, onAnswer: () => undefined });
    const web = await serve({ now, log, answers: { desk, origin: WEB.publicUrl } });
    const url = href.replace(WEB.publicUrl, web.address);
    const before = await store.readUnit(mail.unit);
    const shown = await open(url);
    expect(shown.status, shown.text).toBe(200);
    expect(await store.readUnit(mail.unit)).toEqual(before);
    const page = await send(url, formOf(shown.html, filledIn));
    expect(page.status, page.text).toBe(200);
    expect(await store.readUnit(mail.unit)).not.toEqual(before);
    return page;
  } finally {
    await store.close();
  }
}

/** What `check` answers now, and how it would end. */
export async function checkNow({ config, now }: Story): Promise<CheckResult> {
  const { signal } = new AbortController();
  const surroundings = { env: {}, write: () => undefined };
  return await check({ config, surroundings, now, signal, units: [], failOnAction: false });
}

/** Somebody changes the file, and the program reads it again. */
export function edit<T extends object>(story: Story, change: (written: T) => T): void {
  const { file } = story.config;
  const before = JSON.parse(readFileSync(file, 'utf8')) as T;
  writeFileSync(file, JSON.stringify(change(before), null, 1));
  story.config = loadConfig(file);
}
