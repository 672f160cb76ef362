/** No link is dead as it is sent, whatever the message is about; and each of them does what it says when it is pressed. */
import { writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { AnswerCode, OutgoingMessage } from '../../src/message/message.ts';
import { iso, seconds } from '../support/instants.ts';
import { ANN, CREEK, checkAt, csvOf, probeUnit, roundAt } from '../support/scenario.ts';
import {
  BEN,
  NOW,
  answerScene,
  coldNight,
  open,
  press,
  type AnswerScene,
  type SceneOf,
} from './answer-scene.ts';

const HOUR = 3600;
const MANAGED = [{ ...CREEK, managers: ['ben'] }];

const linkedScene = (of: SceneOf = {}): Promise<AnswerScene> => answerScene({ ...of, linked: true });

/** What its text offers. */
function offered({ text }: OutgoingMessage): AnswerCode[] {
  return [...text.matchAll(/drainby-answer:([a-z-]+)/g)].map(([, code]) => code as AnswerCode);
}

/** What each link of a message answers with. */
async function opened(scene: AnswerScene, message: OutgoingMessage): Promise<Record<string, number>> {
  const found: Record<string, number> = {};
  for (const code of offered(message)) found[code] = (await open(scene.linkIn(message, code))).status;
  return found;
}

function good(...codes: readonly AnswerCode[]): Record<string, number> {
  return Object.fromEntries(codes.map((code) => [code, 200]));
}

/** The first of a kind to a person, in a round made now. */
async function told(scene: AnswerScene, kind: string, person = 'ann'): Promise<OutgoingMessage> {
  const { messages } = await roundAt(scene.config, scene.now());
  return ofKind(messages, kind, person);
}

function ofKind(messages: readonly OutgoingMessage[], kind: string, person = 'ann'): OutgoingMessage {
  const found = messages.find((message) => message.kind === kind && message.to.id === person);
  if (found === undefined) throw new Error(`no ${kind} to ${person}: ${messages.map((m) => m.kind).join()}`);
  return found;
}

/** Whatever waits for one person is refused for good. */
async function refuse(scene: AnswerScene, person: string): Promise<void> {
  const at = seconds(scene.now());
  const { claimed } = await scene.store.claimDue({ now: at, leaseSeconds: 60, owner: 'test', limit: 50 });
  for (const { rowId, attempt, message } of claimed) {
    const refused = message.to.id === person;
    const settlement = refused
      ? ({ outcome: 'failed', error: 'no such mailbox' } as const)
      : ({ outcome: 'sent' } as const);
    await scene.store.settle({ rowId, attempt, owner: 'test', settlement, now: at });
  }
}

function forecast(scene: AnswerScene, series: string): void {
  writeFileSync(join(dirname(scene.config.file), 'series.csv'), series);
}

/** Ended three hours ago. */
const NO_FORECAST = csvOf({
  start: iso(seconds(NOW) - 72 * HOUR),
  temperatureC: Array.from({ length: 69 }, () => 6),
});
/** A night of hard cold two days ago, and another one to come. */
const TWO_NIGHTS = csvOf({
  start: iso(seconds(NOW) - 72 * HOUR),
  temperatureC: Array.from({ length: 272 }, (_, i) =>
    (i >= 20 && i < 34) || (i >= 102 && i < 114) ? -12 : 6,
  ),
});

describe('the end of a water service', () => {
  const lived: SceneOf = {
    units: [probeUnit({ attended: true, waterUse: { perDay: '12 gal', onBoard: '36 gal', tank: '40 gal' } })],
    people: [ANN, BEN],
    places: [{ ...MANAGED[0], water: { shutsOn: '2026-11-12', dumpClosesOn: '2026-11-12', at: '08:00' } }],
    series: coldNight(NOW, 4),
  };

  it('has links that are good, beside an episode as well, until a day after it', async () => {
    const scene = await linkedScene(lived);
    const [dump, fill] = [ofKind(scene.messages, 'dump-by'), ofKind(scene.messages, 'fill-by')];
    const about = good('on-my-way', 'not-mine', 'stop');
    expect([await opened(scene, dump), await opened(scene, fill)]).toEqual([about, about]);
    forecast(scene, coldNight(NOW));
    scene.advance(HOUR);
    await told(scene, 'act');
    expect(await opened(scene, fill)).toEqual(about);
    expect((await press(scene.linkIn(fill, 'stop'), { until: '2026-12-01' })).status).toBe(200);
    expect((await scene.store.readUnit('blue'))?.answers).toMatchObject([{ answer: 'stop', person: 'ann' }]);
    // 08:00 in Denver.
    scene.advance(seconds('2026-11-13T14:59:00Z') - seconds(scene.now()));
    expect((await open(scene.linkIn(fill, 'not-mine'))).status).toBe(200);
    scene.advance(60);
    expect((await open(scene.linkIn(fill, 'not-mine'))).status).toBe(410);
  });

  it('that did not reach its reader has links that are good for whoever hears of that', async () => {
    const scene = await linkedScene(lived);
    await refuse(scene, 'ann');
    scene.advance(HOUR);
    const missed = await told(scene, 'unreached', 'ben');
    expect(await opened(scene, missed)).toEqual(good('on-my-way', 'not-mine', 'stop'));
    expect((await press(scene.linkIn(missed, 'on-my-way'))).text).toContain(
      'Ben Example is on the way to blue',
    );
  });
});

describe('the loss of the forecast', () => {
  it('that did not reach its reader has links that are good for whoever hears of that', async () => {
    const scene = await linkedScene({ units: [probeUnit()], places: MANAGED, series: NO_FORECAST });
    expect(await opened(scene, ofKind(scene.messages, 'no-forecast'))).toEqual(good('not-mine', 'stop'));
    await refuse(scene, 'ann');
    scene.advance(HOUR);
    const missed = await told(scene, 'unreached', 'ben');
    expect(await opened(scene, missed)).toEqual(good('on-my-way', 'not-mine', 'stop'));
    expect((await press(scene.linkIn(missed, 'on-my-way'))).status).toBe(200);
  });

  it('and its return has links that are good as long as what it asks for holds', async () => {
    const scene = await linkedScene();
    forecast(scene, NO_FORECAST);
    scene.advance(HOUR);
    const lost = await told(scene, 'no-forecast');
    expect(Object.values(await opened(scene, lost))).toEqual(offered(lost).map(() => 200));
    forecast(scene, coldNight());
    scene.advance(HOUR);
    const back = await told(scene, 'act');
    expect(back.episode).toContain('.blind.');
    const all = await opened(scene, back);
    expect(all).toEqual({ ...all, ...good('winterized-air', 'on-my-way', 'not-mine', 'stop') });
    expect(Object.values(all).every((status) => status === 200)).toBe(true);
    expect((await press(scene.linkIn(back, 'winterized-air'))).text).toContain('Kept: “Winterized');
    // Done: what asked for it is over, for everybody else.
    await roundAt(scene.config, scene.now());
    expect(
      (await open(scene.linkIn({ ...back, to: { ...back.to, id: 'ben' } }, 'drained-quickly'))).status,
    ).toBe(410);
  });

  it('and its return without cold has links that are good for who is to be told, and for nothing else', async () => {
    const scene = await linkedScene({ series: NO_FORECAST });
    const lost = ofKind(scene.messages, 'no-forecast');
    forecast(scene, coldNight(NOW, 4));
    scene.advance(HOUR);
    const back = (await roundAt(scene.config, scene.now())).messages.find(({ to }) => to.id === 'ann');
    expect(back?.episode).toContain('.blind.');
    for (const answer of ['not-mine', 'stop'] as const)
      expect((await open(scene.linkIn(lost, answer))).status, answer).toBe(200);
    expect((await open(scene.linkIn(lost, 'drained-well'))).status).toBe(410);
  });
});

describe('a unit that may have frozen', () => {
  it('can be said to be whole by the link that asked for it, whatever was done meanwhile', async () => {
    const scene = await linkedScene({ series: TWO_NIGHTS });
    const [frozen, act] = [ofKind(scene.messages, 'frozen'), ofKind(scene.messages, 'act')];
    const ice = good('checked', 'on-my-way', 'not-mine', 'stop');
    expect(await opened(scene, frozen)).toEqual(ice);
    expect((await press(scene.link('winterized-colour', 'ben'))).status).toBe(200);
    await roundAt(scene.config, scene.now());
    expect((await scene.store.readUnit('blue'))?.memory).toMatchObject({ episode: { over: true } });
    expect(await isSuspect(scene)).toBe(true);
    expect(await opened(scene, frozen)).toEqual(ice);
    expect((await open(scene.linkIn(act, 'drained-quickly'))).status).toBe(410);
    const page = await press(scene.linkIn(frozen, 'checked'));
    expect([page.status, page.text]).toEqual([200, expect.stringContaining('seen by Ann Example')]);
    await roundAt(scene.config, scene.now());
    expect(await isSuspect(scene)).toBe(false);
    scene.advance(25 * HOUR);
    expect((await open(scene.linkIn(frozen, 'checked'))).status).toBe(410);
  });

  it('is not said to be whole by a link from before the ice', async () => {
    const scene = await linkedScene({
      units: [probeUnit({ contacts: ['ann', 'ben'] })],
      series: coldNight(),
    });
    const before = scene.link('checked');
    await press(scene.link('winterized-colour', 'ben'));
    await roundAt(scene.config, scene.now());
    const { version = 0, memory } = (await scene.store.readUnit('blue')) ?? {};
    scene.advance(HOUR);
    const at = seconds(scene.now());
    await scene.store.commitRound(
      { id: 'ice', startedAt: at, finishedAt: at, placesWithForecast: 1, placesWithout: 0 },
      [{ unit: 'blue', expectedVersion: version, memory: { ...memory!, suspectSince: at }, outbox: [] }],
    );
    expect((await open(before)).status).toBe(410);
    const [message] = scene.messages;
    expect((await open(scene.linkIn({ ...message!, createdAt: at }, 'checked'))).status).toBe(200);
  });
});

async function isSuspect(scene: AnswerScene): Promise<boolean | undefined> {
  return (await checkAt(scene.config, scene.now())).units[0]?.suspect;
}
