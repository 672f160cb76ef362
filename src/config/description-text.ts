/** The description of a config as plain text, at most 80 columns wide, for a terminal. */
import { formatDuration, formatNumber, formatQuantity } from '../quantity/quantity.ts';
import { formatTemperature } from '../quantity/temperature.ts';
import type { Display } from './config.ts';
import type {
  ConfigDescription,
  PartDescription,
  PersonDescription,
  PlaceDescription,
  Setting,
  UnitDescription,
} from './describe.ts';

const WIDTH = 80;
const NAME_WIDTH = 13;

/** In the reader's units. Ends with a line end. */
export function formatDescription(description: ConfigDescription, display: Display): string {
  const { places, units, people, policy } = description;
  const blocks = [
    generalLines(description),
    ...places.map((place) => placeLines(place, display)),
    ...units.map((unit) => unitLines(unit, display)),
    ...people.map(personLines),
    ['Policy', ...policy.map((setting) => `  ${settingText(setting)}`)],
  ];
  return `${blocks.map((lines) => lines.join('\n')).join('\n\n')}\n`;
}

function generalLines(description: ConfigDescription): readonly string[] {
  const { errorModel, sources } = description;
  const error =
    errorModel.kind === 'none'
      ? 'none: the forecast is taken as it is'
      : `${formatNumber(errorModel.atStartK)} K, and ${formatNumber(errorModel.perDayK)} K more each day, ${errorModel.members} members`;
  return [
    ...hanging(`Config ${description.file}`, 2, 0),
    ...named('rounds', `${description.schedule} (cron, UTC)`),
    ...named('store', description.store),
    ...named('horizon', formatDuration(description.horizonHours * 3600)),
    ...sources.flatMap((source) => named(`source ${source.id}`, sourceText(source))),
    ...named('error', error),
    ...named('delivery', deliveryText(description.delivery)),
  ];
}

function sourceText(source: ConfigDescription['sources'][number]): string {
  const age =
    source.staleAfterHours === null ? '' : `, stale after ${formatDuration(source.staleAfterHours * 3600)}`;
  if (source.kind === 'file') return `file ${source.path}${age}`;
  const key = source.apiKeyEnv === null ? '' : `, key from ${source.apiKeyEnv} if set`;
  return `${source.kind} at ${source.baseUrl}${age}${key}`;
}

function deliveryText({ email, fileDirectory, console }: ConfigDescription['delivery']): string {
  const ways = [
    email === null ? null : `e-mail by ${email.host}:${email.port} (${email.security}), from ${email.from}`,
    fileDirectory === null ? null : `files in ${fileDirectory}`,
    console ? 'the console' : null,
  ];
  return ways.filter((way) => way !== null).join('; ');
}

function placeLines(place: PlaceDescription, display: Display): readonly string[] {
  const height = place.elevationM === null ? "the ground's" : lengthText(place.elevationM, display);
  const zone = place.timeZoneFrom === 'config' ? 'given' : 'from the coordinates';
  return [
    ...hanging(`Place ${place.id}: ${place.label}`, 2, 0),
    ...named('coordinates', `latitude ${place.latitude}, longitude ${place.longitude}`),
    ...named('height', height),
    ...named('time zone', `${place.timeZone} (${zone})`),
    ...named('lie', lieText(place)),
    ...named('sources', place.sources.join(', then ')),
  ];
}

function lieText({ lie, coldSpotK }: PlaceDescription): string {
  if (coldSpotK === 0) return lie;
  const than = coldSpotK > 0 ? 'colder' : 'warmer';
  return `${lie}; ${formatNumber(Math.abs(coldSpotK))} K ${than} than forecast`;
}

function unitLines(unit: UnitDescription, display: Display): readonly string[] {
  const { work } = unit;
  const minutes = `keep warm ${work.keepWarmMinutes} min, drain ${work.drainMinutes} min, winterize ${work.winterizeMinutes} min, travel ${work.travelMinutes} min`;
  return [
    ...hanging(`Unit ${unit.id}: ${unit.label}`, 2, 0),
    ...named('place', unit.place),
    ...named('body', bodyText(unit, display)),
    ...named('heat', heatText(unit, display)),
    ...unit.water.flatMap((water) => named(`water, ${water.circuit}`, sinceText(water.state, water.since))),
    ...named('told', unit.contacts.join(', ')),
    ...named('work', minutes),
    ...(unit.leftOut.length === 0 ? [] : named('left out', `${unit.leftOut.join(', ')}: defaults hold`)),
    ...named('zones', unit.zones.join(', ')),
    ...networkLines(unit),
    ...partLines(unit.parts),
    ...listed(
      'defaults',
      unit.stated.map((one) => `${one.path}: ${one.value} (${one.provenance}) ${one.note}`),
    ),
    ...listed('assumptions', unit.assumptions),
  ];
}

function bodyText(unit: UnitDescription, display: Display): string {
  const length = unit.lengthM === null ? 'usual length' : lengthText(unit.lengthM, display);
  const lived = unit.attended ? 'attended' : 'unattended';
  return `${unit.kind}, ${length}, ${unit.slides} ${unit.slides === 1 ? 'slide' : 'slides'}, belly ${unit.belly}, skirting ${unit.skirting}, ${lived}, hose ${unit.hose}`;
}

function heatText({ heat, gasKg }: UnitDescription, display: Display): string {
  if (heat === null) return 'none';
  const gas =
    gasKg === null ? '' : `, ${formatQuantity('mass', gasKg, display.length === 'ft' ? 'lb' : 'kg')} of gas`;
  const state = heat.running ? 'on' : 'off';
  return `${state}, set to ${formatTemperature(heat.setC, display.temperature)}, ${formatQuantity('power', heat.furnaceW, 'kW')} at most, ${formatNumber(heat.ductedShare * 100)} % into the underbelly${gas}`;
}

function sinceText(state: string, since: string | null): string {
  return since === null ? state : `${state} since ${since}`;
}

function networkLines({ network }: UnitDescription): readonly string[] {
  const capacities = Object.entries(network.capacitiesJPerK).map(
    ([node, capacity]) => `${node} ${formatQuantity('heatCapacity', capacity, 'MJ/K')}`,
  );
  const paths = Object.entries(network.conductancesWPerK).map(([name, path]) => {
    const wind = path.perMps === 0 ? '' : ` + ${formatNumber(path.perMps)} per m/s of wind`;
    return `${name} ${formatQuantity('conductance', path.calm, 'W/K')}${wind}`;
  });
  return [...named('heat stored', capacities.join(', ')), ...named('heat paths', paths.join(', '))];
}

type Cells = readonly [string, string, string, string, string, string];

function clipped(text: string, width: number): string {
  return text.length > width ? `${text.slice(0, width - 1)}…` : text;
}

function partLines(parts: readonly PartDescription[]): readonly string[] {
  const row = ([label, zone, circuit, kg, conductance, from]: Cells): string =>
    [
      `  ${clipped(label, 32).padEnd(32)}`,
      zone.padEnd(10),
      clipped(circuit, 13).padEnd(13),
      `${kg.padStart(5)} ${conductance.padStart(5)}`,
      from,
    ].join(' ');
  return [
    '',
    row(['part', 'zone', 'circuit', 'kg', 'W/K', 'from']),
    ...parts.map((part) =>
      row([
        part.label,
        part.zone,
        part.circuit,
        formatNumber(part.waterKg),
        formatNumber(part.conductanceWPerK),
        part.provenance,
      ]),
    ),
  ];
}

function personLines(person: PersonDescription): readonly string[] {
  const zone = person.timeZoneFrom === 'config' ? 'given' : "their unit's place";
  const headsUp = `${formatDuration(person.headsUpHours * 3600)} ahead`;
  return [
    ...hanging(`Person ${person.id}: ${person.name}`, 2, 0),
    ...(person.email === null ? [] : named('e-mail', person.email)),
    ...named('channels', person.channels.join(', ') || 'none'),
    ...named('reads', `°${person.temperature}, times of ${person.timeZone} (${zone})`),
    ...named('quiet', person.quiet ?? 'never'),
    ...named('heads-up', headsUp),
  ];
}

function settingText({ key, value, unit, from }: Setting): string {
  const text = typeof value === 'number' ? formatNumber(value) : String(value);
  return `${key.padEnd(22)}${`${text} ${unit}`.padEnd(14)}${from === 'default' ? '(default)' : ''}`.trimEnd();
}

function lengthText(lengthM: number, display: Display): string {
  return formatQuantity('length', lengthM, display.length);
}

function listed(heading: string, items: readonly string[]): readonly string[] {
  if (items.length === 0) return [];
  return [`  ${heading}`, ...items.flatMap((item) => hanging(`- ${item}`, 6, 4))];
}

/** `  name         text`, continued under the text. */
function named(name: string, text: string): readonly string[] {
  return hanging(`  ${name.padEnd(NAME_WIDTH)} ${text}`, NAME_WIDTH + 3, 0);
}

/** Breaks at blanks; a word longer than a line stays whole on a line of its own. */
function hanging(text: string, indent: number, first: number): readonly string[] {
  const lines: string[] = [];
  let line = ' '.repeat(first) + text;
  while (line.length > WIDTH) {
    const blank = line.lastIndexOf(' ', WIDTH);
    const at = blank > indent ? blank : line.indexOf(' ', WIDTH);
    if (at < 0) break;
    lines.push(line.slice(0, at).trimEnd());
    line = ' '.repeat(indent) + line.slice(at + 1).trimStart();
  }
  return [...lines, line.trimEnd()];
}
