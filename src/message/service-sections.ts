/** The end of a place's water service: why, how long the water on board lasts, and what to do in which order. */
import { DAY_S } from '../quantity/instant.ts';
import type { Told } from './body.ts';
import type { ServiceFacts } from './message.ts';
import { inReaderZone } from './times.ts';

export function closingSentences(service: ServiceFacts, told: Told): readonly string[] {
  const { waterShutAt, dumpShutAt, because, dumpBecause = because } = service;
  const water =
    waterShutAt === null
      ? []
      : [ending('water is shut', { at: waterShutAt, because, opensAt: service.waterOpensAt }, told)];
  const dump =
    dumpShutAt === null
      ? []
      : [
          ending(
            'dump is closed',
            { at: dumpShutAt, because: dumpBecause, opensAt: service.dumpOpensAt },
            told,
          ),
        ];
  return [...water, ...dump];
}

interface Ending {
  readonly at: number;
  readonly because: ServiceFacts['because'];
  readonly opensAt: number | null | undefined;
}

function ending(what: string, { at, because, opensAt }: Ending, told: Told): string {
  const place = told.facts.place.label;
  const by = because === 'cold' ? ' if it gets as cold as the forecast says' : '';
  const until =
    opensAt === null || opensAt === undefined
      ? because === 'cold'
        ? '; when it opens again is beyond the forecast'
        : '; when it opens again is not known'
      : `, until ${inReaderZone(opensAt, told)}`;
  return `The ${what} at ${place} from ${inReaderZone(at, told)} on${by}${until}.`;
}

/** How long what is on board, or a full tank, lasts against how long the water is shut. */
export function lastsSentences(service: ServiceFacts): readonly string[] {
  const { perDayLitres, onBoardLitres, tankLitres = null, waterShutAt, waterOpensAt = null } = service;
  if (perDayLitres === null || waterShutAt === null) return [];
  const use = `${litres(perDayLitres)} a day`;
  const spans = [
    onBoardLitres === null
      ? null
      : `${litres(onBoardLitres)} on board at ${use} last ${days(onBoardLitres / perDayLitres)}`,
    tankLitres === null
      ? null
      : `a full tank of ${litres(tankLitres)} lasts ${days(tankLitres / perDayLitres)}`,
  ].filter((words) => words !== null);
  if (spans.length === 0) return [`How much is on board is not known; you use ${use}.`];
  const most = Math.max(onBoardLitres ?? 0, tankLitres ?? 0) / perDayLitres;
  const shutDays = waterOpensAt === null ? null : (waterOpensAt - waterShutAt) / DAY_S;
  const said = spans.join('; ');
  return [`${said.charAt(0).toUpperCase()}${said.slice(1)}.`, enough(most, shutDays)];
}

function enough(most: number, shutDays: number | null): string {
  if (shutDays === null) return 'Plan for water from elsewhere, or to leave, before it is used up.';
  return shutDays <= most
    ? `That is enough for the ${days(upToHalf(shutDays))} that it is shut.`
    : `That is less than the ${days(upToHalf(shutDays))} that it is shut: plan for water from elsewhere.`;
}

export function serviceSteps(service: ServiceFacts, told: Told): readonly string[] {
  const { faucet } = told.reader.words;
  const dump = `Dump black first, then grey, with gloves on${service.dumpMinutes === undefined ? '' : ` (about ${Math.round(service.dumpMinutes)} min)`}, and shut both valves: what you use from now on has to fit into them.`;
  if (service.waterShutAt === null || isToStandDry(told)) return [dump];
  // Once the water is shut there is nothing to fill from.
  const isOpen = service.waterShutAt > (told.notice.startBy ?? told.facts.asOf);
  const fill = `Fill the fresh tank with a hose for drinking water, until it runs over${service.fillMinutes === undefined ? '' : ` (about ${Math.round(service.fillMinutes)} min)`}.`;
  return [
    dump,
    ...(isOpen ? [fill] : []),
    `Shut the ${faucet} at the post, drain the hose and take it in with regulator and filter: once the water is shut it is of no use and the first to freeze.`,
    'Run the water from the tank, with the pump. A pad or heat under the tank keeps it only while there is water in it.',
  ];
}

/** Nobody fills what is to be emptied. */
function isToStandDry({ facts: { advice } }: Told): boolean {
  return advice?.action === 'drain' || advice?.action === 'winterize';
}

/** Gallons first: tanks are sold so where most parks are. */
function litres(volume: number): string {
  return `${number(volume / 3.785411784)} gal (${number(volume)} L)`;
}

function number(value: number): string {
  return value < 10 ? String(Math.round(value * 10) / 10) : String(Math.round(value));
}

function upToHalf(value: number): number {
  return Math.ceil(value * 2 - 1e-9) / 2;
}

/** Rounded down to half a day: less is promised, not more. */
function days(value: number): string {
  const halves = Math.floor(value * 2 + 1e-9) / 2;
  if (halves < 0.5) return 'less than half a day';
  return halves === 1 ? 'one day' : `${halves} days`;
}
