/** Answers by links, through a real socket to a real database: what a button does, and that nothing else does anything. */
import Database from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { ANSWERS } from '../../src/message/message.ts';
import { openToken, sealStatement } from '../../src/web/link.ts';
import { mark } from '../../src/app/mark.ts';
import type { Measure } from '../../src/model/measure.ts';
import { iso, seconds } from '../support/instants.ts';
import { ANN, checkAt, csvOf, probeUnit, roundAt } from '../support/scenario.ts';
import { BEN, NOW, answerScene, coldNight, formOf, open, press, send } from './answer-scene.ts';

const DAY = 86_400;

/** Every row that an answer could change. */
function rows(path: string): unknown {
  const database = new Database(path, { readonly: true });
  try {
    return ['unit', 'unit_history', 'answer', 'outbox'].map((table) =>
      database.prepare(`select * from ${table}`).all(),
    );
  } finally {
    database.close();
  }
}

describe('looking at a link', () => {
  it('changes nothing, whoever looks and how: a scanner fetches every one of them', async () => {
    const scene = await answerScene();
    const before = rows(scene.config.store.path);
    for (const answer of ANSWERS) {
      scene.advance(60);
      const url = scene.link(answer);
      const page = await open(url);
      expect([page.status, page.text], answer).toEqual([200, expect.stringContaining('As it stands')]);
      for (const method of ['HEAD', 'OPTIONS', 'PUT', 'DELETE', 'PATCH']) {
        const { status } = await open(url, { method });
        expect(status, method).toBe(method === 'HEAD' ? 200 : 405);
      }
      await open(url, { headers: { 'Sec-Purpose': 'prefetch', Purpose: 'prefetch' } });
    }
    expect(rows(scene.config.store.path)).toEqual(before);
    expect(scene.woken()).toBe(0);
  });

  it('shows the unit, what is said, what follows, how it stands, and one button', async () => {
    const scene = await answerScene();
    const { html, text } = await open(scene.link('drained-quickly'));
    expect(text).toMatch(/Drained quickly blue .*What you say .*What follows .*As it stands blue: in use\b/);
    expect(html.match(/<button/g)).toHaveLength(1);
    expect(html).toContain('<form method="post" accept-charset="utf-8">');
    expect(html).not.toMatch(/<script|javascript:|<img|<iframe|src=| on\w+=/i);
  });

  it('is kept by nobody: not by caches, search engines, other pages or frames', async () => {
    const scene = await answerScene();
    const { headers } = await open(scene.link('checked'));
    expect(Object.fromEntries(headers)).toMatchObject({
      'cache-control': 'no-store',
      'referrer-policy': 'no-referrer',
      'x-robots-tag': 'noindex, nofollow',
      'x-frame-options': 'DENY',
      'x-content-type-options': 'nosniff',
      'content-type': 'text/html; charset=UTF-8',
    });
    const policy = headers.get('content-security-policy') ?? '';
    expect(policy).toMatch(/default-src 'none'; style-src 'sha256-[\w+/=]+'; form-action 'self'/);
    expect(policy).not.toContain('unsafe');
  });
});

describe('pressing the button', () => {
  it('keeps who said what and when, and asks for a round', async () => {
    const scene = await answerScene();
    const page = await press(scene.link('drained-well'));
    expect([page.status, page.text]).toEqual([200, expect.stringContaining('said by Ann Example')]);
    const record = await scene.store.readUnit('blue');
    expect(record?.water?.all).toEqual({
      state: { kind: 'drained', quality: 'well' },
      since: seconds(scene.now()),
      by: 'ann',
    });
    expect(record?.answers).toMatchObject([
      { person: 'ann', answer: 'drained', basis: 'said', via: 'link', details: { quality: 'well' } },
    ]);
    expect(scene.woken()).toBe(1);
    const [unit] = (await checkAt(scene.config, scene.now())).units;
    expect(unit).toMatchObject({ waterState: 'drained', answers: [{ answer: 'drained', by: 'ann' }] });
  });

  it.each([
    ['drained-well', { kind: 'drained', quality: 'well' }],
    ['drained-quickly', { kind: 'drained', quality: 'quick' }],
    ['winterized-colour', { kind: 'antifreeze' }],
    ['winterized-air-traps', { kind: 'blown' }],
    ['winterized-air', { kind: 'blown' }],
    ['winterized', { kind: 'blown' }],
  ] as const)('%s makes of the water %j', async (answer, state) => {
    const scene = await answerScene();
    expect((await press(scene.link(answer))).status).toBe(200);
    expect((await scene.store.readUnit('blue'))?.water?.all.state).toEqual(state);
  });

  it('twice is one: the same form again, another look and the same again, both at once', async () => {
    const scene = await answerScene();
    const url = scene.link('drained-well');
    const form = formOf((await open(url)).html);
    const both = await Promise.all(Array.from({ length: 8 }, () => send(url, form)));
    expect(both.map(({ status }) => status)).toEqual(both.map(() => 200));
    expect(both.filter(({ text }) => text.includes('kept already'))).toHaveLength(7);
    const before = rows(scene.config.store.path);
    scene.advance(3600);
    expect((await press(url)).text).toContain('kept already');
    expect((await send(url, form)).text).toContain('kept already');
    expect(rows(scene.config.store.path)).toEqual(before);
    expect(scene.woken()).toBe(1);
  });

  it('of the same a year later counts again: the config has had it in use since', async () => {
    const water = { state: 'in-use', since: '2026-04-15T00:00:00Z' };
    const scene = await answerScene({ units: [probeUnit({ water })], people: [ANN] });
    const [before, url] = [seconds('2025-11-10T12:00:00Z'), scene.link('winterized-colour')];
    const said = { unit: 'blue', state: 'winterized', method: 'antifreeze', circuits: [] } as const;
    const rest = { quality: null, concentrationPercent: null, at: before, now: before, by: 'ann' };
    await mark({ config: scene.config, ...said, ...rest });
    expect((await press(url)).text).toContain('Kept: “Winterized, colour seen');
    expect((await scene.store.readUnit('blue'))?.water?.all.state.kind).toBe('antifreeze');
    expect((await press(url)).text).toContain('kept already');
  });

  it('of a check after each of two freezes clears both suspicions', async () => {
    const temperatureC = Array.from({ length: 300 }, (_, i) =>
      (i >= 102 && i < 114) || (i >= 200 && i < 212) ? -12 : 6,
    );
    const series = csvOf({ start: iso(seconds(NOW) - 72 * 3600), temperatureC });
    const scene = await answerScene({ series, units: [probeUnit()], people: [ANN] });
    const suspicion = async () => (await scene.store.readUnit('blue'))?.memory.suspectSince;
    for (const hours of [44, 98]) {
      scene.advance(hours * 3600);
      const { messages } = await roundAt(scene.config, scene.now());
      expect([messages[0]?.kind, await suspicion()]).toEqual(['frozen', expect.any(Number)]);
      const url = scene.link('checked', 'ann', messages);
      expect((await press(url)).text).toContain('Kept:');
      expect(await suspicion()).toBeNull();
      expect((await press(url)).text).toContain('kept already');
    }
  });

  it('of heat again once more was asked for it takes that as done, too', async () => {
    const scene = await answerScene();
    const url = scene.link('kept-warm');
    const ask = async (measures: readonly Measure[]): Promise<void> => {
      const record = await scene.store.readUnit('blue');
      const before = record?.memory.advice ?? null;
      if (record === null || before === null) throw new Error('nothing was advised');
      const { memory, version } = record;
      const advice = { ...before, action: 'keep-warm' as const, measures };
      const round = { id: String(version), startedAt: seconds(NOW), finishedAt: seconds(NOW) };
      await scene.store.commitRound({ ...round, placesWithForecast: 1, placesWithout: 0 }, [
        { unit: 'blue', expectedVersion: version, memory: { ...memory, advice }, outbox: [] },
      ]);
    };
    const done = async () => (await scene.store.readUnit('blue'))?.water?.keptWarmBy;
    await ask(['heaters-down']);
    await press(url);
    expect(await done()).toEqual(['heaters-down']);
    expect((await press(url)).text).toContain('kept already');
    await ask(['heaters-down', 'cupboards-open']);
    expect((await press(url)).text).toContain('Kept:');
    expect(await done()).toEqual(['heaters-down', 'cupboards-open']);
  });

  it('of the same in another episode is kept, though it changes nothing', async () => {
    const scene = await answerScene();
    await press(scene.link('drained-well'));
    const database = new Database(scene.config.store.path);
    database.exec("update answer set episode = 'of another winter'");
    database.close();
    expect((await press(scene.link('drained-well'))).text).toContain('Kept:');
  });

  it('by two people at once keeps both, or tells the second what the first said', async () => {
    const scene = await answerScene();
    const [ann, ben] = [scene.link('drained-well'), scene.link('winterized-air', 'ben')];
    const [annForm, benForm] = [formOf((await open(ann)).html), formOf((await open(ben)).html)];
    const pages = await Promise.all([send(ann, annForm), send(ben, benForm)]);
    expect(new Set(pages.map(({ status }) => status))).toEqual(new Set([200, 409]));
    const second = pages.find(({ status }) => status === 409);
    expect(second?.text).toMatch(/Since this page was opened somebody has said something else/);
    const url = second === pages[0] ? ann : ben;
    expect((await send(url, formOf(second?.html ?? ''))).status).toBe(200);
    expect((await scene.store.readUnit('blue'))?.answers).toHaveLength(2);
  });

  it('takes what the page asks for: how it was drained', async () => {
    const scene = await answerScene();
    const page = await press(scene.link('drained-well'), { quality: 'quick' });
    expect(page.text).toContain('Kept: “Drained quickly”');
    expect((await scene.store.readUnit('blue'))?.water?.all.state).toMatchObject({ quality: 'quick' });
  });

  it('of colour that did not show everywhere is no winterizing by another name', async () => {
    const scene = await answerScene();
    const page = await press(scene.link('winterized-colour'), { 'without-colour': 'cold', used: '2' });
    expect(page.text).toContain(
      'Kept: “Not winterized: no colour at the cold lines and the pump”, seen by Ann',
    );
    expect(page.text).toMatch(/Go on until strong colour shows.*As it stands blue: in use/);
    const [answer] = (await scene.store.readUnit('blue'))?.answers ?? [];
    expect(answer?.details).toMatchObject({
      withoutColour: ['cold'],
      usedLitres: expect.closeTo(7.57, 2) as number,
    });
    expect((await scene.store.readUnit('blue'))?.water?.all.state.kind).not.toBe('antifreeze');
  });

  it('refuses what was filled in wrongly, says each mistake, keeps what was written, changes nothing', async () => {
    const scene = await answerScene();
    const before = rows(scene.config.store.path);
    const wrong = { percent: '150', used: 'a lot', 'without-colour': ['cold'] };
    const page = await press(scene.link('winterized-colour'), wrong);
    expect([page.status, page.text]).toEqual([422, expect.stringMatching(/“150” is no.*“a lot” is no/)]);
    expect(page.html).toContain('value="150"');
    expect(page.html).toMatch(/value="cold" checked/);
    for (const until of ['', '2026-02-30', 'soon', '2026-11-10', '2020-01-01', '2031-01-01'])
      expect((await press(scene.link('stop'), { until })).status, until).toBe(422);
    expect(rows(scene.config.store.path)).toEqual(before);
  });

  it('of heat where there is no water says so, and changes nothing', async () => {
    const scene = await answerScene();
    await press(scene.link('winterized-colour'));
    const page = await press(scene.link('kept-warm'));
    expect([page.status, page.text]).toEqual([409, expect.stringContaining('nothing to keep warm')]);
    expect((await scene.store.readUnit('blue'))?.water?.keptWarm).toBeUndefined();
  });
});

describe('an old link', () => {
  it('changes nothing once the episode is over, and says how it stands and how to say it all the same', async () => {
    const scene = await answerScene();
    await press(scene.link('drained-well', 'ben'));
    await roundAt(scene.config, scene.now());
    scene.advance(3 * DAY);
    await roundAt(scene.config, scene.now());
    const before = rows(scene.config.store.path);
    const url = scene.link('winterized-air');
    for (const page of [await open(url), await send(url, 'shown=0')]) {
      expect([page.status, page.html.includes('<button')]).toEqual([410, false]);
      expect(page.text).toMatch(/changes nothing.* blue: drained since .*said by Ben Example/);
      expect(page.text).toContain('drainby mark -c FILE blue winterized --method air --by ann');
    }
    expect(rows(scene.config.store.path)).toEqual(before);
  });

  it('is good for its own giver to put right, for a day, though it has ended the episode', async () => {
    const scene = await answerScene();
    await press(scene.link('winterized-colour'));
    await roundAt(scene.config, scene.now());
    const { episode } = (await scene.store.readUnit('blue'))?.memory ?? {};
    expect(episode === null || episode?.over === true).toBe(true);
    expect((await press(scene.link('winterized-air', 'ben'))).status).toBe(410);
    expect((await press(scene.link('winterized-air'))).status).toBe(200);
    await press(scene.link('winterized-colour'));
    await roundAt(scene.config, scene.now());
    scene.advance(DAY + 60);
    expect((await press(scene.link('winterized-air'))).status).toBe(410);
  });

  it('says nothing any more after 14 days, or after the use of its message where that is later', async () => {
    const scene = await answerScene();
    const url = scene.link('drained-well');
    scene.advance(14 * DAY - 61);
    expect((await open(url)).status).toBe(200);
    scene.advance(61);
    const page = await open(url);
    expect([page.status, page.text]).toEqual([410, expect.stringMatching(/has expired.*drainby mark/)]);
    expect((await send(url, 'shown=0')).status).toBe(410);
  });

  it('of a unit or a person that the config no longer names is not known', async () => {
    const scene = await answerScene();
    const statement = openedOf(scene.link('checked'), scene.key);
    for (const change of [{ unit: 'red' }, { person: 'eve' }]) {
      const token = sealStatement({ ...statement, ...change }, scene.key);
      const page = await open(`${scene.address}/a/${token}`);
      expect([page.status, page.text]).toEqual([404, expect.stringContaining('Nothing was changed')]);
    }
  });

  it('that was sent while the clock was two days ahead is good once it is right', async () => {
    const scene = await answerScene();
    scene.advance(-2 * 86_400);
    const page = await open(scene.link('drained-well'));
    expect([page.status, page.text]).toEqual([200, expect.stringContaining('Drained well')]);
  });

  it('is void once the key was replaced', async () => {
    const scene = await answerScene();
    const url = scene.link('drained-well');
    await scene.store.rotateLinkKey(seconds(NOW));
    expect((await open(url)).status).toBe(400);
    expect((await send(url, 'shown=0')).status).toBe(400);
  });

  it('of one unit says nothing of another, though the same person looks after both', async () => {
    const scene = await answerScene({
      units: [probeUnit(), probeUnit({ id: 'red', label: 'Red trailer' })],
      people: [ANN],
    });
    const statement = openedOf(scene.link('drained-well'), scene.key);
    await press(scene.link('drained-well'));
    expect(statement.unit).toBe('blue');
    expect((await scene.store.readUnit('red'))?.water ?? null).toBeNull();
    // Signed, but under the episode of another unit: it cannot be made without the key, and is refused all the same.
    const moved = sealStatement({ ...statement, unit: 'red' }, scene.key);
    expect((await send(`${scene.address}/a/${moved}`, 'shown=0')).status).toBe(410);
  });
});

function openedOf(url: string, key: Buffer) {
  const opened = openToken(url.split('/a/')[1] ?? '', key, seconds(NOW) + 60);
  if (!opened.ok) throw new Error('the link is void');
  return opened.statement;
}

describe('who is told, after what they answered', () => {
  it('on my way: until then it is not asked for again, and the water is as it was', async () => {
    const scene = await answerScene();
    const page = await press(scene.link('on-my-way'));
    expect(page.text).toMatch(/Ann Example is on the way to blue, and is not asked again until/);
    const record = await scene.store.readUnit('blue');
    expect(record?.water).toBeNull();
    const { work } = scene.config.units[0]!;
    const [answer] = record?.answers ?? [];
    const minutes = work.travelMinutes + work.winterizeMinutes;
    expect((answer?.until ?? 0) - seconds(scene.now())).toBe((minutes + 60) * 60);
    const [unit] = (await checkAt(scene.config, scene.now())).units;
    expect(unit?.contactsSaid).toEqual([expect.stringContaining('is on the way')]);
  });

  it('not mine: told no more, the other is; when nobody is left, that is heard by page, log and check', async () => {
    const scene = await answerScene();
    await press(scene.link('not-mine'));
    const next = await roundAt(scene.config, scene.now());
    expect(next.evaluation.units).toHaveLength(1);
    expect(next.offered.map(({ message }) => message.to.id)).toEqual(['ben']);
    const page = await press(scene.link('not-mine', 'ben'));
    expect(page.text).toContain('Nobody is told of unit blue any more');
    const warned = scene.log.filter(({ level }) => level === 'warn');
    expect(warned.map(({ fields }) => fields)).toEqual([
      { unit: 'blue', person: 'ann', answer: 'not-mine' },
      { unit: 'blue', person: 'ben', answer: 'not-mine' },
      { unit: 'blue' },
    ]);
    const [unit] = (await checkAt(scene.config, scene.now())).units;
    expect(unit?.nobodyIsTold).toBe(true);
    expect(unit?.contactsSaid?.at(-1)).toContain('Nobody is told of unit blue');
    expect((await roundAt(scene.config, scene.now())).offered).toEqual([]);
  });

  it('not mine holds until the config names them anew, or they say anything else', async () => {
    const scene = await answerScene();
    await press(scene.link('not-mine'));
    const [blue] = scene.config.units;
    const without = { ...scene.config, units: [{ ...blue!, contacts: ['ben'] }] };
    await roundAt(without, scene.now());
    const again = await roundAt(scene.config, scene.now());
    expect(again.offered.map(({ message }) => message.to.id)).toContain('ann');
    scene.advance(60);
    await press(scene.link('not-mine'));
    scene.advance(60);
    await press(scene.link('drained-quickly'));
    expect((await checkAt(scene.config, scene.now())).units[0]?.contactsSaid).toBeUndefined();
  });

  it('stop: silence until the day begins where the reader is', async () => {
    const scene = await answerScene();
    const page = await press(scene.link('stop'), { until: '2026-12-01' });
    expect(page.text).toContain('Ann Example asked not to be told of blue until Tue 1 Dec, 00:00');
    const [answer] = (await scene.store.readUnit('blue'))?.answers ?? [];
    expect(answer).toMatchObject({ answer: 'stop', until: seconds('2026-12-01T07:00:00Z') });
  });

  it('checked clears the suspicion', async () => {
    const frozen = coldNight('2026-11-09T00:00:00Z', -12);
    const scene = await answerScene({ series: frozen });
    expect((await scene.store.readUnit('blue'))?.memory.suspectSince).not.toBeNull();
    expect((await open(scene.link('checked'))).text).toContain('It may have frozen');
    const page = await press(scene.link('checked'));
    expect([page.status, page.text]).toEqual([200, expect.not.stringContaining('It may have frozen')]);
    expect((await scene.store.readUnit('blue'))?.memory.suspectSince).toBeNull();
  });
});

describe('what labels hold', () => {
  it('is text, never markup', async () => {
    const label = `<script>alert(1)</script>"'&`;
    const scene = await answerScene({
      units: [probeUnit({ label, contacts: ['ann', 'ben'] })],
      people: [{ ...ANN, name: '<b onmouseover=x>Ann' }, BEN],
    });
    for (const page of [await open(scene.link('stop')), await press(scene.link('drained-well'))]) {
      expect(page.html).not.toMatch(/<script|<b /);
      expect(page.html).toContain('&lt;script&gt;alert(1)&lt;/script&gt;&quot;&#39;&amp;');
    }
    const echoed = await press(scene.link('stop'), { until: '"><script>x</script>' });
    expect([echoed.status, /<script/.test(echoed.html)]).toEqual([422, false]);
  });
});
