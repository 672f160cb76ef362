import type { EpochSeconds } from '../../quantity/instant.ts';
import { checkRange, checkRising, QUANTITIES, readHour, seriesMistake } from './series.ts';
import type { Quantity, Series, SeriesMember, Spot } from './series.ts';

const COLUMNS = ['time', ...(Object.keys(QUANTITIES) as Quantity[]), 'member'] as const;

type Column = (typeof COLUMNS)[number];

const NUMBER = /^[-+]?(\d+(\.\d*)?|\.\d+)([eE][-+]?\d+)?$/;

/** Members are told apart by a label of their own; a file without that column has one. */
const ONLY_MEMBER = '';

interface GrowingMember {
  readonly times: EpochSeconds[];
  readonly values: Readonly<Record<Quantity, number[]>>;
}

/**
 * Reads `time,temperatureC[,windSpeedMps][,cloudPercent][,member]`, columns in any order, an empty cell for
 * unknown. Throws a `SourceError` at the first mistake. `file` is the name to be shown.
 */
export function readCsv(text: string, file: string): Series {
  const lines = text.replace(/^\uFEFF/, '').split(/\r\n|\n|\r/);
  const columns = readHeader(lines[0] ?? '', { file, at: 1 });
  const members = new Map<string, GrowingMember>();
  lines.slice(1).forEach((line, index) => {
    if (line.trim() !== '') readRow(line, columns, { members, spot: { file, at: index + 2 } });
  });
  if (members.size === 0) throw seriesMistake({ file, at: 2 }, 'a row must follow the header');
  return { issuedAt: null, members: [...members.values()].map((member) => finish(member, columns)) };
}

function readHeader(line: string, spot: Spot): readonly Column[] {
  const columns = cellsOf(line).map((name) => {
    if (isColumn(name)) return name;
    throw seriesMistake(spot, `the header may name the columns ${COLUMNS.join(', ')} only`, name);
  });
  const twice = columns.find((name, index) => columns.indexOf(name) !== index);
  if (twice !== undefined) throw seriesMistake(spot, 'each column may be named once', twice);
  const missing = (['time', 'temperatureC'] as const).find((name) => !columns.includes(name));
  if (missing !== undefined) throw seriesMistake(spot, `the header must name the column ${missing}`, line);
  return columns;
}

function isColumn(name: string): name is Column {
  return (COLUMNS as readonly string[]).includes(name);
}

/** Cells may stand in quotes, but nothing in a series needs a comma or a quote inside them. */
function cellsOf(line: string): readonly string[] {
  return line.split(',').map((cell) => cell.trim().replace(/^"([^"]*)"$/, '$1'));
}

function readRow(
  line: string,
  columns: readonly Column[],
  into: { readonly members: Map<string, GrowingMember>; readonly spot: Spot },
): void {
  const { members, spot } = into;
  const cells = cellsOf(line);
  if (cells.length !== columns.length) {
    throw seriesMistake(spot, `a row must have ${columns.length} cells like the header`, line);
  }
  const cell = (name: Column): string => cells[columns.indexOf(name)] ?? '';
  const label = columns.includes('member') ? cell('member') : ONLY_MEMBER;
  if (label === '' && columns.includes('member')) throw seriesMistake(spot, 'a row must name its member');
  const member = members.get(label) ?? newMember();
  members.set(label, member);
  const time = readHour(cell('time'), spot);
  checkRising(time, member.times.at(-1), spot);
  member.times.push(time);
  for (const quantity of Object.keys(QUANTITIES) as Quantity[]) {
    member.values[quantity].push(readNumber(cell(quantity), quantity, spot));
  }
}

function newMember(): GrowingMember {
  return { times: [], values: { temperatureC: [], windSpeedMps: [], cloudPercent: [] } };
}

function readNumber(text: string, quantity: Quantity, spot: Spot): number {
  if (text === '') return Number.NaN;
  if (NUMBER.test(text)) return checkRange(Number(text), quantity, spot);
  throw seriesMistake(spot, `${quantity} must be a number with a point, or empty for unknown`, text);
}

function finish(member: GrowingMember, columns: readonly Column[]): SeriesMember {
  const { temperatureC, windSpeedMps, cloudPercent } = member.values;
  return {
    weight: 1,
    times: member.times,
    temperatureC,
    windSpeedMps: columns.includes('windSpeedMps') ? windSpeedMps : null,
    cloudPercent: columns.includes('cloudPercent') ? cloudPercent : null,
  };
}
