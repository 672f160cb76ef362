/** From a round over the bundled scenario to what a broker keeps: the real pipeline, a real broker. */
import { cpSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { once } from '../../src/app/once.ts';
import { loadConfig } from '../../src/config/load.ts';
import { MachineStateSchema, type MachineState } from '../../src/delivery/machine-schema.ts';
import { isoSecond, parseInstant } from '../../src/quantity/instant.ts';
import { openStore } from '../../src/store/open.ts';
import { startBroker, type Broker } from '../readings/broker.ts';
import { temporaryDirectory } from '../support/temporary.ts';

const DEMO = fileURLToPath(new URL('../../config/demo', import.meta.url));
const NOW = parseInstant('2026-11-12T15:00:00Z') ?? Number.NaN;
const SILENT = { info: () => undefined, warn: () => undefined, error: () => undefined };

/** The scenario with a broker. Runs a round at the hour after its own time, and says what the broker keeps then. */
function scenario(
  broker: Broker,
  change: (yaml: string) => string = (yaml) => yaml,
  directory = temporaryDirectory(),
) {
  cpSync(DEMO, directory, { recursive: true });
  const file = join(directory, 'drainby.yaml');
  const yaml = readFileSync(file, 'utf8')
    .replace(
      '{ directory: ../../.demo/sent }',
      `{ directory: ./sent }\n  mqtt: { url: '${broker.url}', topic: park }`,
    )
    .replace('../../.demo/drainby.db', './drainby.db');
  writeFileSync(file, change(yaml));
  return {
    directory,
    round: async (hour: number) => {
      const { exit } = await once({
        config: loadConfig(file),
        surroundings: {
          env: {},
          write: () => undefined,
        },
        now: () => NOW + hour * 3600,
        signal: new AbortController().signal,
        log: SILENT,
      });
      const kept = await broker.kept(
        (all) =>
          all.size === 8 && [...all.values()].every((text) => text.includes(isoSecond(NOW + hour * 3600))),
      );
      const states = new Map<string, MachineState>();
      for (const [topic, text] of kept) {
        const state = MachineStateSchema.parse(JSON.parse(text));
        expect(topic).toBe(`park/${state.place}/${state.unit}/state`);
        states.set(state.unit, state);
      }
      return { exit, states };
    },
  };
}

/** As if ice had been found possible in it, and nobody had looked since. */
async function suspect(path: string, unit: string): Promise<void> {
  const store = await openStore(path);
  try {
    const record = await store.readUnit(unit);
    if (record === null) throw new Error(`nothing was written of ${unit}`);
    const memory = { ...record.memory, suspectSince: NOW };
    const round = { id: 'ice', startedAt: NOW, finishedAt: NOW, placesWithForecast: 1, placesWithout: 0 };
    const commit = { unit, expectedVersion: record.version, memory, outbox: [] };
    expect((await store.commitRound(round, [commit])).stale).toEqual([]);
  } finally {
    await store.close();
  }
}

describe('after a round', () => {
  it('the broker keeps the state of every unit, valid for two more rounds and three hours at least', async () => {
    const broker = await startBroker();
    const { exit, states } = await scenario(broker).round(0);
    expect(exit).toBe(0);
    expect(states.size).toBe(8);
    for (const state of states.values()) {
      expect(state).toMatchObject({
        asOf: isoSecond(NOW),
        validUntil: isoSecond(NOW + 3 * 3600),
        problem: null,
      });
      expect(state.advice).not.toBeNull();
    }
  });

  it('only a furnace is asked for, and only where warmth is the advice', async () => {
    const broker = await startBroker();
    const { states } = await scenario(broker).round(0);
    const wishes = [...states.values()].map(({ unit, advice, heat }) => [unit, advice?.action, heat]);
    const kept = wishes.filter(([, action]) => action === 'keep-warm');
    expect(kept).toEqual([['heron', 'keep-warm', 'furnace-on']]);
    expect(wishes.filter(([, action, heat]) => action !== 'keep-warm' && heat !== 'unchanged')).toEqual([]);
  });

  it('no furnace is asked for where something may have split, though warmth is the advice', async () => {
    const broker = await startBroker();
    const lot = scenario(broker);
    expect((await lot.round(0)).states.get('heron')).toMatchObject({ suspect: false, heat: 'furnace-on' });
    await suspect(join(lot.directory, 'drainby.db'), 'heron');
    const { states } = await lot.round(1);
    expect(states.get('heron')).toMatchObject({
      advice: { action: 'keep-warm' },
      suspect: true,
      heat: 'unchanged',
    });
  });

  it('the next round takes the place of the one before, and validity grows with the schedule', async () => {
    const broker = await startBroker();
    const { round } = scenario(broker, (yaml) => `${yaml}\nschedule: '0 */4 * * *'\n`);
    await round(0);
    const { states } = await round(4);
    expect(states.size).toBe(8);
    for (const state of states.values())
      expect(state).toMatchObject({
        asOf: isoSecond(NOW + 4 * 3600),
        validUntil: isoSecond(NOW + 12 * 3600),
      });
  });

  it('a place without a forecast is unknown, with the reason, and asks for nothing', async () => {
    const broker = await startBroker();
    const { round, directory } = scenario(broker);
    rmSync(join(directory, 'creek.json'));
    const { exit, states } = await round(0);
    expect(exit).toBe(3);
    expect(states.get('heron')).toMatchObject({
      advice: null,
      chanceOfDamage: null,
      lowestC: null,
      heat: 'unchanged',
      problem: { code: 'source-file' },
    });
    expect(states.get('otter')?.advice).not.toBeNull();
  });

  it('a unit that is out of the config is off the broker', async () => {
    const broker = await startBroker();
    const { directory, round: before } = scenario(broker);
    await before(0);
    const cleared = broker.cleared('park/lake/plover/state');
    // With the same database: what another drainby says is not ours to take off.
    const { round } = scenario(broker, (yaml) => yaml.replaceAll(/\bplover\b/g, 'grebe'), directory);
    const [{ states }] = await Promise.all([round(1), cleared]);
    expect(states.has('plover')).toBe(false);
    expect(states.has('grebe')).toBe(true);
  });
});
