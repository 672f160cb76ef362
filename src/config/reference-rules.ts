import { catalogueIds } from '../model/catalogue-parts.ts';
import type { Draft } from './draft.ts';
import { has, mapAt, mapsAt, problemAt, textAt, textsAt } from './draft.ts';
import { didYouMean, shown } from './found.ts';
import { CHANNEL_IDS } from './people.ts';
import type { Path, Problem } from './problem.ts';

/** Ids that are used twice, and ids that lead nowhere. */
export function referenceRules(root: Draft): readonly Problem[] {
  const weather = mapAt(root, 'weather');
  const units = mapsAt(root, 'units');
  const sources = has(weather, 'sources') ? idsOf(mapsAt(weather, 'sources')) : ['open-meteo'];
  return [
    ...duplicates(mapsAt(weather, 'sources'), 'source'),
    ...duplicates(mapsAt(root, 'places'), 'place'),
    ...duplicates(units, 'unit'),
    ...duplicates(mapsAt(root, 'people'), 'person'),
    ...units.flatMap((unit) => duplicates(partsOf(unit), 'part')),
    ...mapsAt(root, 'places').flatMap((place) => [
      ...strangers(textsAt(place, 'sources'), 'source', sources),
      ...peopleProblems(textsAt(place, 'managers'), root),
    ]),
    ...units.flatMap((unit) => unitReferences(unit, root)),
  ];
}

/** Those described by the user: parts and lines share their names. */
function partsOf(unit: Draft): readonly Draft[] {
  const parts = mapAt(unit, 'parts');
  return [...mapsAt(parts, 'own'), ...mapsAt(parts, 'lines')];
}

function unitReferences(unit: Draft, root: Draft): readonly Problem[] {
  const place = textAt(unit, 'place');
  const parts = mapAt(unit, 'parts');
  const at = place === null ? [] : [{ path: [...unit.path, 'place'], text: place }];
  return [
    ...strangers(at, 'place', idsOf(mapsAt(root, 'places'))),
    ...peopleProblems(textsAt(unit, 'contacts'), root),
    ...strangers([...textsAt(parts, 'add'), ...textsAt(parts, 'without')], 'catalogue part', catalogueIds()),
  ];
}

/** Those who are to be told must be there, and something must reach them. */
function peopleProblems(contacts: ReturnType<typeof textsAt>, root: Draft): readonly Problem[] {
  const people = mapsAt(root, 'people');
  const unreached = contacts.flatMap(({ path, text }) => {
    const person = people.find((one) => textAt(one, 'id') === text);
    if (person === undefined || canBeReached(person, root)) return [];
    const rule = 'nothing in delivery reaches this person: give an email address, or another channel';
    return [{ path, at: 'value' as const, text: `${rule}, found ${shown(text)}` }];
  });
  return [...strangers(contacts, 'person', idsOf(people)), ...unreached];
}

/** A person with channels of their own is judged channel by channel, in `delivery-rules.ts`. */
function canBeReached(person: Draft, root: Draft): boolean {
  const configured = configuredChannels(root);
  if (has(person, 'channels') || configured.length === 0) return true;
  return configured.some((channel) =>
    channel === 'email' || channel === 'text' ? has(person, channel) : channel !== 'mqtt',
  );
}

export function configuredChannels(root: Draft): readonly string[] {
  const { fields } = mapAt(root, 'delivery');
  return CHANNEL_IDS.filter((channel) => {
    const given = fields[channel === 'text' ? 'email' : channel];
    return channel === 'console' ? given === true : given !== undefined && given !== null;
  });
}

function idsOf(drafts: readonly Draft[]): readonly string[] {
  return drafts.map((draft) => textAt(draft, 'id')).filter((id) => id !== null);
}

function duplicates(drafts: readonly Draft[], noun: string): readonly Problem[] {
  const seen = new Set<string>();
  return drafts.flatMap((draft) => {
    const id = textAt(draft, 'id');
    if (id === null) return [];
    if (seen.has(id)) {
      return [problemAt(draft, 'id', `each ${noun} needs an id of its own, found ${shown(id)} again`)];
    }
    seen.add(id);
    return [];
  });
}

function strangers(
  references: readonly { readonly path: Path; readonly text: string }[],
  noun: string,
  known: readonly string[],
): readonly Problem[] {
  const ids = new Set(known);
  return references
    .filter(({ text }) => !ids.has(text))
    .map(({ path, text }) => ({
      path,
      at: 'value',
      text: `there is no ${noun} of that id, found ${shown(text)}${didYouMean(text, known)}`,
    }));
}
