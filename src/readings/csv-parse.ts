/** Readings as a logger's export gives them: `time,temperatureC` or `temperatureF`, and perhaps `zone`. */
import { parseInstant, type EpochSeconds } from '../quantity/instant.ts';
import type { TemperatureUnit } from '../quantity/temperature.ts';

/** A line that can be read. Whether the reading can be is for others to say. */
export interface CsvRow {
  readonly line: number;
  readonly at: EpochSeconds;
  readonly temperature: number;
  readonly scale: TemperatureUnit;
  /** Null: the line does not say. */
  readonly zone: string | null;
}

export interface CsvMistake {
  readonly line: number;
  /** What the rule is and what was found, without a full stop. */
  readonly text: string;
}

export interface CsvReadings {
  readonly rows: readonly CsvRow[];
  readonly mistakes: readonly CsvMistake[];
  /** Lines with a time and no temperature: the logger knew nothing. */
  readonly empty: number;
  /** The header is at fault, so that no line has a meaning. */
  readonly headless: boolean;
}

const TEMPERATURES: Readonly<Record<string, TemperatureUnit>> = { temperatureC: 'C', temperatureF: 'F' };
const COLUMNS = ['time', ...Object.keys(TEMPERATURES), 'zone'];
const NUMBER = /^[-+]?(\d+(\.\d*)?|\.\d+)([eE][-+]?\d+)?$/;

export function readReadingsCsv(text: string): CsvReadings {
  const [header = '', ...lines] = text.replace(/^\uFEFF/, '').split(/\r\n|\n|\r/);
  const columns = cellsOf(header);
  const wrong = headerMistake(columns, header);
  if (wrong !== null) return { rows: [], mistakes: [{ line: 1, text: wrong }], empty: 0, headless: true };
  const read = lines
    .map((line, index) => ({ line: index + 2, text: line }))
    .filter((line) => line.text.trim() !== '')
    .map((line) => readLine(line, columns));
  return {
    rows: read.filter((row) => row !== null).filter((row) => 'at' in row),
    mistakes: read.filter((row) => row !== null).filter((row) => 'text' in row),
    empty: read.filter((row) => row === null).length,
    headless: false,
  };
}

/** Null: the header can be used. */
function headerMistake(columns: readonly string[], header: string): string | null {
  const unknown = columns.find((name) => !COLUMNS.includes(name));
  if (unknown !== undefined)
    return `the header may name the columns ${COLUMNS.join(', ')} only${found(unknown)}`;
  if (new Set(columns).size < columns.length) return `each column may be named once${found(header)}`;
  if (!columns.includes('time')) return `the header must name the column time${found(header)}`;
  const temperatures = columns.filter((name) => name in TEMPERATURES);
  return temperatures.length === 1
    ? null
    : `the header must name one of temperatureC and temperatureF${found(header)}`;
}

/** Null: there is no temperature. */
function readLine(
  { line, text }: { readonly line: number; readonly text: string },
  columns: readonly string[],
): CsvRow | CsvMistake | null {
  const mistake = (rule: string, what: string): CsvMistake => ({ line, text: `${rule}${found(what)}` });
  const cells = cellsOf(text);
  if (cells.length !== columns.length)
    return mistake(`a row must have ${columns.length} cells like the header`, text);
  const cell = (name: string): string => cells[columns.indexOf(name)] ?? '';
  const at = parseInstant(cell('time'));
  if (at === null)
    return mistake(
      'a time names its day and its offset, such as 2026-11-25T08:30:00Z or 2026-11-25T01:30-07:00',
      cell('time'),
    );
  const [column = '', scale = 'C'] =
    Object.entries(TEMPERATURES).find(([name]) => columns.includes(name)) ?? [];
  const temperature = cell(column);
  if (temperature === '') return null;
  if (!NUMBER.test(temperature))
    return mistake(`${column} must be a number with a point, or empty for unknown`, temperature);
  return { line, at, temperature: Number(temperature), scale, zone: cell('zone') || null };
}

/** Cells may stand in quotes, but nothing in readings needs a comma or a quote inside them. */
function cellsOf(line: string): readonly string[] {
  return line.split(',').map((cell) => cell.trim().replace(/^"([^"]*)"$/, '$1'));
}

function found(text: string): string {
  return `, found "${text.replace(/\p{Cc}/gu, ' ').slice(0, 60)}"`;
}
