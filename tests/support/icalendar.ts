/**
 * A parser of iCalendar that knows nothing of how ours is written. Its own declarations of types do not pass the
 * compiler, so it is taken in without them.
 */
import { createRequire } from 'node:module';

export interface ParsedProperty {
  getParameter(name: string): string | undefined;
}

export interface ParsedComponent {
  getFirstPropertyValue(name: string): unknown;
  getFirstProperty(name: string): ParsedProperty | null;
  getFirstSubcomponent(name: string): ParsedComponent | null;
  getAllSubcomponents(name: string): readonly ParsedComponent[];
}

interface ParsedTime {
  toJSDate(): Date;
  compare(other: ParsedTime): number;
  readonly zone: { readonly tzid: string };
}

export interface ParsedEvent {
  readonly uid: string;
  readonly summary: string;
  readonly description: string;
  readonly location: string;
  readonly sequence: number;
  readonly startDate: ParsedTime;
  readonly endDate: ParsedTime;
}

interface Parser {
  parse(content: string): unknown;
  readonly Component: new (parsed: unknown) => ParsedComponent;
  readonly Event: new (component: ParsedComponent) => ParsedEvent;
}

/** @throws Error for what is no iCalendar, or holds more or fewer than one event */
export function parseCalendar(content: string) {
  const require = createRequire(import.meta.url);
  const parser = require('ical.js') as Parser | { readonly default: Parser };
  const library = 'default' in parser ? parser.default : parser;
  const calendar = new library.Component(library.parse(content));
  const [event, ...others] = calendar.getAllSubcomponents('vevent');
  if (event === undefined || others.length > 0) throw new Error('There is not one event in it');
  return { calendar, event, details: new library.Event(event) };
}
