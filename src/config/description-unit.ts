/** One unit of a description as text. */
import type { ZoneAir } from '../model/unit.ts';
import { formatDuration, formatNumber, formatQuantity } from '../quantity/quantity.ts';
import { formatTemperature } from '../quantity/temperature.ts';
import type { Display } from './config.ts';
import type { HeatDescription, PartDescription, UnitDescription } from './describe-unit.ts';
import { hanging, lengthText, listed, named } from './description-lines.ts';

export function unitLines(unit: UnitDescription, display: Display): readonly string[] {
  const { work } = unit;
  const minutes = `keep warm ${work.keepWarmMinutes} min, drain ${work.drainMinutes} min, winterize ${work.winterizeMinutes} min, travel ${work.travelMinutes} min`;
  return [
    ...hanging(`Unit ${unit.id}: ${unit.label}`, 2, 0),
    ...named('place', unit.place),
    ...named('body', bodyText(unit, display)),
    ...named('heat', heatText(unit, display)),
    ...powerLines(unit),
    ...named('water heater', WATER_HEATER[unit.waterHeater]),
    ...tankLines(unit),
    ...unit.towing.flatMap(({ from, until, speedMps }) =>
      named('on the road', `from ${from} until ${until} at ${formatQuantity('speed', speedMps, 'km/h')}`),
    ),
    ...unit.water.flatMap((water) => named(`water, ${water.circuit}`, sinceText(water.state, water.since))),
    ...named('told', unit.contacts.join(', ')),
    ...waterUseLines(unit),
    ...named('work', minutes),
    ...named('kit', kitText(unit)),
    ...named('accepted', acceptedText(unit)),
    ...(unit.leftOut.length === 0 ? [] : named('left out', `${unit.leftOut.join(', ')}: defaults hold`)),
    ...named('zones', zonesText(unit)),
    ...networkLines(unit),
    ...partLines(unit.parts),
    ...listed(
      'defaults',
      unit.stated.map((one) => `${one.path}: ${one.value} (${one.provenance}) ${one.note}`),
    ),
    ...listed('assumptions', unit.assumptions),
  ];
}

function waterUseLines({ waterUse }: UnitDescription): readonly string[] {
  if (waterUse === null) return [];
  const volume = (litres: number): string => formatQuantity('volume', litres, 'gal');
  const { perDayLitres, onBoardLitres, tankLitres } = waterUse;
  const onBoard = onBoardLitres === null ? '' : `, ${volume(onBoardLitres)} on board`;
  const tank = tankLitres === null ? '' : `, a tank of ${volume(tankLitres)}`;
  return named('water use', `${volume(perDayLitres)} a day${onBoard}${tank}`);
}

function kitText({ kit, route }: UnitDescription): string {
  const things = [
    ['bypass', kit.bypass],
    ['pump kit', kit.pumpKit],
    ['compressor', kit.compressor],
  ] as const;
  const said = things.map(
    ([name, there]) => `${name} ${there === null ? 'not known' : there ? 'yes' : 'no'}`,
  );
  const heater = route.heater === 'fill' ? ', the heater filled' : '';
  return `${said.join(', ')}; ${formatNumber(route.antifreezeGallons)} gal of antifreeze${heater}`;
}

function acceptedText({ accepted: { tolerance, caution } }: UnitDescription): string {
  if (tolerance === null) return `what is worth its cost, a loss counted ${formatNumber(caution)} times`;
  return Object.entries(tolerance)
    .map(([action, chance]) => `${action} ${formatNumber(100 * chance)} %`)
    .join(', ');
}

const WATER_HEATER = { off: 'off', gas: 'on gas', shore: 'on shore power' } as const;

function bodyText(unit: UnitDescription, display: Display): string {
  const length = unit.lengthM === null ? 'usual length' : lengthText(unit.lengthM, display);
  const lived = unit.attended ? 'attended' : 'unattended';
  const skin = unit.bellySkin === null ? '' : ` (${unit.bellySkin})`;
  return `${unit.kind}, ${length}, ${unit.slides} ${unit.slides === 1 ? 'slide' : 'slides'}, belly ${unit.belly}${skin}, skirting ${unit.skirting}, shelter ${unit.shelter}, cupboards ${unit.cupboards}, ${lived}, hose ${unit.hose}`;
}

function heatText({ heat, gasKg }: UnitDescription, display: Display): string {
  if (heat === null) return 'none';
  const gas =
    gasKg === null ? '' : `, ${formatQuantity('mass', gasKg, display.length === 'ft' ? 'lb' : 'kg')} of gas`;
  const refilled = heat.gas?.refilled === true ? ', changed in time' : '';
  return `${heat.running ? 'on' : 'off'}, set to ${formatTemperature(heat.setC, display.temperature)}, ${sourcesText(heat, display)}${gas}${refilled}`;
}

function sourcesText(heat: HeatDescription, display: Display): string {
  const { furnaceW, ductedShare, electricW = 0, heatPump } = heat;
  const power = (watts: number): string => formatQuantity('power', watts, 'kW');
  const sources = [
    furnaceW > 0
      ? `furnace ${power(furnaceW)} at most, ${formatNumber(ductedShare * 100)} % of it into the underbelly`
      : null,
    electricW > 0 ? `electric heaters ${power(electricW)}` : null,
    heatPump === undefined
      ? null
      : `heat pump ${power(heatPump.watts)} above ${formatTemperature(heatPump.limitC, display.temperature)}`,
  ];
  return sources.filter((source) => source !== null).join(', ');
}

function powerLines({ heat, electrics }: UnitDescription): readonly string[] {
  const battery = heat?.battery;
  const lines: string[] = [];
  if (battery !== undefined) {
    const use = heat?.shore === true ? 'when shore power fails' : 'in use';
    lines.push(...named('battery', `${formatNumber(battery.usableAh)} Ah usable, ${use}`));
  }
  if (electrics === null) return lines;
  const total = electrics.loads.reduce((sum, { watts }) => sum + watts, 0);
  const limit =
    electrics.limitW === null
      ? 'breaker not known'
      : `breaker bears ${formatQuantity('power', electrics.limitW, 'kW')}`;
  const over = electrics.limitW !== null && total > electrics.limitW ? ', more than it bears for long' : '';
  return [
    ...lines,
    ...named('post', `${limit}, loads ${formatQuantity('power', total, 'kW')} in all${over}`),
  ];
}

function tankLines({ tanks, tankPadW }: UnitDescription): readonly string[] {
  const fills = Object.entries(tanks).map(([tank, fill]) => `${tank} ${formatNumber(fill * 100)} %`);
  const pads = tankPadW === null ? [] : [`a pad of ${formatQuantity('power', tankPadW, 'W')} under each`];
  const all = [...fills, ...pads];
  return all.length === 0 ? [] : named('tanks', all.join(', '));
}

function sinceText(state: string, since: string | null): string {
  return since === null ? state : `${state} since ${since}`;
}

/** `bay (15 % inside, 85 % outside, follows in 90 min)`; a zone that is its own air stands alone. */
function zonesText({ zones, zoneAir }: UnitDescription): string {
  return zones.map((zone) => `${zone}${airText(zone, zoneAir[zone])}`).join(', ');
}

function airText(zone: string, air: ZoneAir | undefined): string {
  const [first] = air?.of ?? [];
  if (air === undefined || (air.of.length === 1 && first?.end === zone)) return '';
  const shares = air.of.map(({ end, weight }) =>
    air.of.length === 1 ? `= ${end}` : `${formatNumber(weight * 100)} % ${end}`,
  );
  const lag = air.lagS === 0 ? [] : [`follows in ${formatDuration(air.lagS)}`];
  return ` (${[...shares, ...lag].join(', ')})`;
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
        threeDigits(part.waterKg),
        threeDigits(part.conductanceWPerK),
        part.provenance,
      ]),
    ),
  ];
}

function threeDigits(value: number): string {
  return formatNumber(Number(value.toPrecision(3)));
}
