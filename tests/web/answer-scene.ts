/** Cold ahead of a unit that holds water, told in a round, and the pages that its links lead to. */
import { onTestFinished } from 'vitest';
import { answerDesk } from '../../src/app/answer-desk.ts';
import type { Config } from '../../src/config/config.ts';
import type { AnswerCode, OutgoingMessage } from '../../src/message/message.ts';
import { openStore } from '../../src/store/open.ts';
import type { Store } from '../../src/store/store.ts';
import { linksOf } from '../../src/web/link.ts';
import { iso, seconds } from '../support/instants.ts';
import { recordingLog, type LogLine } from '../support/outbox.ts';
import { ANN, CREEK, configOf, csvOf, probeUnit, roundAt, scenario } from '../support/scenario.ts';
import { serve } from './post.ts';

export const NOW = '2026-11-10T12:00:00Z';
const PAGES = { listen: '127.0.0.1:8787', publicUrl: 'https://drainby.example.org' };
export const BEN = { ...ANN, id: 'ben', name: 'Ben Example', email: 'ben@example.org' };

/** Hours after now: a night of −8 °C after a day of warmth. */
export function coldNight(from: string = NOW, lowC = -8): string {
  const start = iso(seconds(from) - 72 * 3600);
  const temperatureC = Array.from({ length: 72 + 200 }, (_, i) => (i >= 102 && i < 114 ? lowC : 6));
  return csvOf({ start, temperatureC });
}

export interface SceneOf {
  readonly units?: readonly object[];
  readonly people?: readonly object[];
  readonly places?: readonly object[];
  readonly series?: string;
  /** Messages hold links, as where pages are served. */
  readonly linked?: boolean;
  /** How long the server waits for a lock. */
  readonly lockWaitMs?: number;
}

export interface AnswerScene {
  readonly config: Config;
  readonly store: Store;
  readonly address: string;
  readonly port: number;
  readonly log: readonly LogLine[];
  /** How often a round was asked for. */
  readonly woken: () => number;
  readonly key: Buffer;
  /** Messages of the first round. */
  readonly messages: readonly OutgoingMessage[];
  /** As it would stand in the message to this person; of the first round, unless others are given. */
  link(answer: AnswerCode, person?: string, among?: readonly OutgoingMessage[]): string;
  /** As it stands in that message. */
  linkIn(message: OutgoingMessage, answer: AnswerCode): string;
  /** Moves the clock of the server. */
  advance(seconds: number): void;
  now(): string;
}

/** Two people of one unit, unless told otherwise. */
export async function answerScene(of: SceneOf = {}): Promise<AnswerScene> {
  const { units = [probeUnit({ contacts: ['ann', 'ben'] })], people = [ANN, BEN], series = coldNight() } = of;
  const places = of.places ?? [CREEK];
  const config = scenario(
    { ...configOf({ units, people, places }), ...(of.linked === true ? { web: PAGES } : {}) },
    { 'series.csv': series },
  );
  const { messages } = await roundAt(config, NOW);
  const store = await openStore(
    config.store.path,
    of.lockWaitMs === undefined ? {} : { lockWaitMs: of.lockWaitMs },
  );
  onTestFinished(() => store.close());
  let clock = seconds(NOW) + 60;
  let rounds = 0;
  const log = recordingLog();
  const now = (): number => clock;
  const desk = answerDesk({ config, store, now, log, onAnswer: () => void (rounds += 1) });
  const web = await serve({ now, log, answers: { desk, origin: 'https://drainby.example.org' } });
  const key = await store.linkKey(clock);
  const linkTo = linksOf({ publicUrl: web.address, key });
  const linkIn: AnswerScene['linkIn'] = (message, answer) => linkTo(message, answer) ?? '';
  return {
    config,
    store,
    address: web.address,
    port: web.port,
    log: log.lines,
    woken: () => rounds,
    key,
    messages,
    link(answer, person = 'ann', among = messages) {
      const message = among.find((m) => m.to.id === person);
      if (message === undefined) throw new Error(`nothing was told to ${person}`);
      return linkIn(message, answer);
    },
    linkIn,
    advance(by) {
      clock += by;
    },
    now: () => iso(clock),
  };
}

export interface Page {
  readonly status: number;
  readonly headers: Headers;
  readonly html: string;
  /** Without tags, on one line. */
  readonly text: string;
}

export async function open(url: string, init: RequestInit = {}): Promise<Page> {
  const response = await fetch(url, { redirect: 'manual', ...init });
  const html = await response.text();
  const text = html
    .replace(/<style>[\s\S]*?<\/style>/, '')
    .replace(/<[^>]+>/g, ' ')
    .replaceAll('&#39;', "'")
    .replaceAll('&quot;', '"')
    .replaceAll('&amp;', '&')
    .replace(/\s+/g, ' ');
  return { status: response.status, headers: response.headers, html, text };
}

/** Opens the page, fills in its form as a browser would, and presses the button. */
export async function press(
  url: string,
  filledIn: Readonly<Record<string, string | readonly string[]>> = {},
): Promise<Page> {
  return await send(url, formOf((await open(url)).html, filledIn));
}

/** What a browser would send: what the page has, with what the reader filled in. */
export function formOf(
  html: string,
  filledIn: Readonly<Record<string, string | readonly string[]>> = {},
): URLSearchParams {
  const fields = new URLSearchParams();
  for (const [tag] of html.matchAll(/<input[^>]*>/g)) {
    const of = (name: string): string => new RegExp(` ${name}="([^"]*)"`).exec(tag)?.[1] ?? '';
    const isTicked = !/type="(checkbox|radio)"/.test(tag) || / checked/.test(tag);
    if (isTicked && !(of('name') in filledIn)) fields.append(of('name'), of('value'));
  }
  for (const [name, values] of Object.entries(filledIn)) {
    for (const value of [values].flat()) fields.append(name, value);
  }
  return fields;
}

export async function send(url: string, body: URLSearchParams | string): Promise<Page> {
  const headers = { 'Content-Type': 'application/x-www-form-urlencoded', Origin: 'null' };
  return await open(url, { method: 'POST', headers, body: String(body) });
}
