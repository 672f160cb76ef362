/** Until when, as a person writes it: a day at the unit's place, or an instant. */
import type { Config } from '../config/config.ts';
import { startOfDay } from '../decision/local-day.ts';
import { UsageError } from '../errors.ts';
import { parseInstant, type EpochSeconds } from '../quantity/instant.ts';
import { findUnit } from './check.ts';

/** @throws UsageError */
export function untilOf(config: Config, unit: string, text: string): EpochSeconds {
  const { place } = findUnit(config, unit);
  const timeZone = config.places.find(({ id }) => id === place)?.timeZone ?? 'UTC';
  const instant = parseInstant(text) ?? startOfDay(text, timeZone);
  if (instant !== null) return instant;
  throw new UsageError(
    `"${text}" is neither a day nor an instant. Write it like 2026-12-01 or 2026-12-01T08:00:00-07:00.`,
  );
}
