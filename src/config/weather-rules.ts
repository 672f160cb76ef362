import type { Draft } from './draft.ts';
import { has, mapAt, mapsAt, problemAt, textAt } from './draft.ts';
import { didYouMean, shown } from './found.ts';
import type { Problem } from './problem.ts';

export function weatherRules(root: Draft): readonly Problem[] {
  return [...contactRules(root), ...readingRules(root)];
}

/** Two services shut out whoever does not say how to be reached. */
function contactRules(root: Draft): readonly Problem[] {
  const weather = mapAt(root, 'weather');
  if (has(weather, 'contact')) return [];
  return mapsAt(weather, 'sources')
    .filter((source) => ['nws', 'met-norway'].includes(textAt(source, 'kind') ?? ''))
    .map((source) =>
      problemAt(
        source,
        'kind',
        `needs weather.contact, by which the service can reach you, found none for ${shown(textAt(source, 'kind'))}`,
      ),
    );
}

function readingRules(root: Draft): readonly Problem[] {
  const readings = mapAt(root, 'readings');
  const mqtt = mapAt(readings, 'mqtt');
  return [
    ...oneSecret(readings, 'token'),
    ...oneSecret(mqtt, 'password'),
    ...tokenWithoutWeb(root, readings),
    ...mapsAt(mqtt, 'subscriptions').flatMap((one) => subscriptionRules(one, root)),
  ];
}

function oneSecret(draft: Draft, name: string): readonly Problem[] {
  if (!has(draft, `${name}Env`) || !has(draft, `${name}File`)) return [];
  const text = `must not stand beside ${name}Env: give one, found both`;
  return [problemAt(draft, `${name}File`, text)];
}

function tokenWithoutWeb(root: Draft, readings: Draft): readonly Problem[] {
  const key = ['tokenEnv', 'tokenFile'].find((one) => has(readings, one));
  if (key === undefined || has(root, 'web')) return [];
  return [problemAt(readings, key, 'needs web.listen, where readings are taken in, found no web')];
}

function subscriptionRules(one: Draft, root: Draft): readonly Problem[] {
  const given = (['place', 'unit'] as const).filter((key) => has(one, key));
  if (given.length !== 1) {
    const found = given.length === 0 ? 'neither' : 'both';
    return [problemAt(one, 'topic', `needs a place or a unit that it belongs to, found ${found}`)];
  }
  const [key = 'place'] = given;
  const known = mapsAt(root, `${key}s`).flatMap((draft) => textAt(draft, 'id') ?? []);
  const id = textAt(one, key);
  if (id !== null && !known.includes(id)) {
    const text = `there is no ${key} of that id, found ${shown(id)}${didYouMean(id, known)}`;
    return [problemAt(one, key, text)];
  }
  if (key === 'unit' || (textAt(one, 'zone') ?? 'outside') === 'outside') return [];
  return [problemAt(one, 'zone', `needs a unit that has this zone; a place has its outside air only`)];
}
