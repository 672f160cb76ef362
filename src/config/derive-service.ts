/** What the place's water service is, and what a unit needs of it. */
import type { ServiceTerms } from '../decision/service.ts';
import type { Part } from '../model/unit.ts';
import type { ServiceWork, WaterUse } from './config.ts';
import type { ParsedConfig, ParsedUnit } from './schema.ts';

type ParsedWater = ParsedConfig['places'][number]['water'];

export function deriveServiceTerms(water: ParsedWater): ServiceTerms | null {
  if (water === undefined) return null;
  const { shutsOn = null, shutsBelow = null, dumpClosesOn = null, dumpClosesBelow = null } = water;
  return {
    water: { on: shutsOn, belowC: shutsBelow },
    dump: { on: dumpClosesOn, belowC: dumpClosesBelow },
    opensOn: water.opensOn ?? null,
    atMinute: water.at ?? 0,
  };
}

export function deriveServiceWork({ fill, dump }: ParsedUnit['work']): ServiceWork {
  return { fillMinutes: fill / 60, dumpMinutes: dump / 60 };
}

const FRESH_TANKS: readonly string[] = ['fresh-tank', 'portable-tank'];

/** A tank whose level nobody has told holds an unknown amount, though the model takes it as full. */
export function deriveWaterUse(unit: ParsedUnit, parts: readonly Part[]): WaterUse | null {
  const use = unit.waterUse;
  if (use === undefined) return null;
  const level = unit.tanks?.fresh ?? null;
  const found = parts.find((part) => FRESH_TANKS.includes(part.id))?.waterKg;
  const usual = level === null || level === 0 || found === undefined ? null : found / level;
  const tankLitres = use.tank ?? usual;
  const byLevel = level === null ? null : levelLitres(level, tankLitres);
  return { perDayLitres: use.perDay, onBoardLitres: use.onBoard ?? byLevel, tankLitres };
}

function levelLitres(level: number, tankLitres: number | null): number | null {
  if (level === 0) return 0;
  return tankLitres === null ? null : level * tankLitres;
}
