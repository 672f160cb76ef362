/** What is too old, not yet issued, or in steps too wide is no forecast, and says which of these it is. */
import { utimesSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { fileSource } from '../../src/forecast/file/client.ts';
import { gatherForecasts, type Gathered } from '../../src/forecast/gather.ts';
import { iso, seconds } from '../support/instants.ts';
import { csvOf, jsonOf } from '../support/scenario.ts';
import { temporaryDirectory } from '../support/temporary.ts';
import { BERLIN } from './open-meteo-setup.ts';

const NOW = seconds('2026-11-20T12:00:00Z');
const HOUR = 3600;

interface Written {
  readonly name?: string;
  readonly text: string;
  readonly changedHoursAgo?: number;
  readonly staleAfterHours?: number | null;
}

async function gathered(written: Written): Promise<Gathered | undefined> {
  const { name = 'series.csv', text, changedHoursAgo = 0, staleAfterHours = null } = written;
  const path = join(temporaryDirectory(), name);
  writeFileSync(path, text);
  const changed = NOW - changedHoursAgo * HOUR;
  utimesSync(path, changed, changed);
  const found = await gatherForecasts({
    points: [{ ...BERLIN, id: 'lot', sources: ['series'] }],
    sources: [{ source: fileSource({ id: 'series', path }), staleAfterHours, service: null }],
    now: NOW,
    signal: new AbortController().signal,
    compare: true,
  });
  return found.get('lot');
}

const HOURLY = csvOf({ start: iso(NOW - 72 * HOUR), temperatureC: new Array<number>(200).fill(6) });

function issued(hoursAgo: number): string {
  const members = [{ weight: 1, temperatureC: new Array<number>(200).fill(6) }];
  return jsonOf(iso(NOW - 72 * HOUR), members, iso(NOW - hoursAgo * HOUR));
}

const refused = (message: string) => ({
  ok: false,
  errors: [{ code: expect.any(String) as string, message: expect.stringContaining(message) as string }],
});

describe('a file that does not say when it was issued', () => {
  it('is as old as its last change', async () => {
    const fresh = { text: HOURLY, staleAfterHours: 12, changedHoursAgo: 12 };
    expect(await gathered(fresh)).toMatchObject({ ok: true, forecast: { issuedAt: null } });
    expect(await gathered({ ...fresh, changedHoursAgo: 13 })).toMatchObject(
      refused('last changed at 2026-11-19T23:00:00Z, more than 12 hours ago'),
    );
  });

  it('says so, and never that it came only now', async () => {
    expect(await gathered({ text: HOURLY, changedHoursAgo: 240 })).toMatchObject({
      ok: true,
      forecast: { fetchedAt: NOW - 240 * HOUR },
    });
    expect(await gathered({ text: HOURLY, changedHoursAgo: -5 })).toMatchObject({
      ok: true,
      forecast: { fetchedAt: NOW },
    });
  });

  it('has no age without a limit, nor where it was changed after the pretended now', async () => {
    expect(await gathered({ text: HOURLY, changedHoursAgo: 1000 })).toMatchObject({ ok: true });
    expect(await gathered({ text: HOURLY, staleAfterHours: 12, changedHoursAgo: -1000 })).toMatchObject({
      ok: true,
    });
  });
});

describe('a time of issue', () => {
  it('counts for the age, whenever the file was changed', async () => {
    const old = { name: 'series.json', text: issued(13), staleAfterHours: 12 };
    expect(await gathered(old)).toMatchObject(refused('was issued at'));
    expect(await gathered({ ...old, text: issued(11), changedHoursAgo: 99 })).toMatchObject({ ok: true });
  });

  it('that is yet to come, by more than clocks differ, is refused', async () => {
    expect(await gathered({ name: 'series.json', text: issued(-1) })).toMatchObject({ ok: true });
    expect(await gathered({ name: 'series.json', text: issued(-2) })).toMatchObject(
      refused('issued at 2026-11-20T14:00:00Z, which is yet to come'),
    );
  });
});

it.each([
  [3, true],
  [6, false],
])('temperatures every %i hours are usable: %s', async (step, ok) => {
  const temperatureC = Array.from({ length: 200 }, (_, i) => (i % step === 0 ? 6 : null));
  const answer = await gathered({ text: csvOf({ start: iso(NOW - 72 * HOUR), temperatureC }) });
  if (ok) expect(answer).toMatchObject({ ok });
  else expect(answer).toMatchObject(refused('a temperature every 6 hours only'));
});
