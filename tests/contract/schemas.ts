/** The two answers that other programs read, as strict as their contract: fields may be added, none may go. */
import { z } from 'zod';

const time = z.string().regex(/^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}Z$/);
const share = z.number().min(0).max(1);
const nonNegative = z.number().min(0);
const count = z.number().int().min(0);

const actions = ['nothing', 'keep-warm', 'drain', 'winterize'] as const;
const zoneNames = [
  'outside',
  'barn',
  'post',
  'underneath',
  'outlet',
  'underbelly',
  'bay',
  'cabinet',
  'slide',
  'inside',
] as const;

/** Known actions only, `nothing` always. */
const perAction = z.strictObject({
  nothing: share,
  'keep-warm': share.optional(),
  drain: share.optional(),
  winterize: share.optional(),
});

const perActionMoney = z.strictObject({
  nothing: nonNegative,
  'keep-warm': nonNegative.optional(),
  drain: nonNegative.optional(),
  winterize: nonNegative.optional(),
});

const placeAnswer = z
  .looseObject({
    id: z.string(),
    label: z.string(),
    timeZone: z.string(),
    forecast: z
      .looseObject({
        source: z.string(),
        issuedAt: time.nullable(),
        fetchedAt: time,
        firstHour: time,
        lastHour: time,
        hours: count,
        members: count.min(1),
        errorModel: z.enum(['none', 'growing']),
      })
      .refine((f) => Date.parse(f.lastHour) - Date.parse(f.firstHour) === (f.hours - 1) * 3_600_000)
      .nullable(),
    problem: z.looseObject({ code: z.string().min(1), message: z.string().min(1) }).nullable(),
  })
  .refine((p) => p.forecast !== null || p.problem !== null, 'no forecast and no problem');

const advice = z
  .looseObject({
    action: z.enum(actions),
    method: z.enum(['antifreeze', 'air']).optional(),
    startBy: time.nullable(),
    late: z.boolean(),
    boundBy: z.string().min(1),
    workMinutes: nonNegative,
    throughCold: z
      .looseObject({ until: time, chanceOfDamage: z.partialRecord(z.enum(actions), share) })
      .optional(),
    reasonCode: z.string().min(1),
    reason: z.string().min(1),
  })
  .refine((a) => (a.action === 'winterize') === (a.method !== undefined), 'a method goes with winterize');

const zoneStatistics = z.looseObject({
  minimumC: z.number(),
  minimumAt: time,
  degreeHours: nonNegative,
  longestHoursAtOrBelowMinus4C: nonNegative,
  samplesBelow0: count.optional(),
  samplesAtOrBelowMinus4: count.optional(),
  longestSamplesAtOrBelowMinus4: count.optional(),
});

const zones = z.partialRecord(z.enum(zoneNames), zoneStatistics).refine((all) =>
  // Samples are counted outside only.
  Object.entries(all).every(([zone, of]) =>
    ['samplesBelow0', 'samplesAtOrBelowMinus4', 'longestSamplesAtOrBelowMinus4'].every(
      (key) => key in of === (zone === 'outside'),
    ),
  ),
);

const coldSpell = z
  .looseObject({
    zone: z.enum(zoneNames),
    start: time,
    end: time,
    degreeHours: nonNegative,
    minimumC: z.number().max(0),
    longestHoursAtOrBelowMinus4C: nonNegative,
  })
  .refine((spell) => spell.end >= spell.start);

const partOfCheck = z.looseObject({
  id: z.string(),
  zone: z.enum(zoneNames),
  circuit: z.string(),
  budgetKelvinHours: z.looseObject({ blocked: nonNegative, solid: nonNegative }),
  usedKelvinHours: nonNegative,
  reachesZeroAt: time.nullable(),
  blockedAt: time.nullable(),
  solidAt: time.nullable(),
  peakIceFraction: share,
  chanceOfDamage: share,
});

const unitAnswer = z
  .looseObject({
    id: z.string(),
    label: z.string(),
    place: z.string(),
    waterState: z.enum(['wet', 'drained', 'blown', 'antifreeze', 'unknown']),
    waterStateSince: time.nullable(),
    suspect: z.boolean(),
    alreadyDamaged: z.boolean().nullable(),
    advice: advice.nullable(),
    chanceOfDamage: perAction.nullable(),
    costOfWork: perActionMoney.nullable(),
    expectedCost: perActionMoney.nullable(),
    lossIfNothing: nonNegative.nullable(),
    partsAtStake: z.array(z.looseObject({ id: z.string(), chance: share, repair: nonNegative })).nullable(),
    tolerance: perAction.nullable(),
    firstDamage: z
      .looseObject({
        earliest: time.nullable(),
        deadlineQuantile: share,
        deadlineAt: time.nullable(),
        median: time.nullable(),
      })
      .nullable(),
    firstPart: z.string().nullable(),
    holdOutHours: nonNegative.nullable().optional(),
    zones: zones.nullable(),
    coldSpells: z.array(coldSpell).nullable(),
    parts: z.array(partOfCheck).nullable(),
    assumptions: z.array(z.string().min(1)),
  })
  .refine(
    (u) => String(Object.keys(u.chanceOfDamage ?? {})) === String(Object.keys(u.tolerance ?? {})),
    'chances and tolerances name the same actions',
  )
  .refine(
    (u) =>
      [u.chanceOfDamage, u.tolerance, u.firstDamage, u.zones, u.coldSpells, u.parts].every(
        (field) => (field === null) === (u.advice === null),
      ),
    'what is unknown is unknown altogether',
  )
  .refine((u) => u.zones === null || 'outside' in u.zones, 'the outside is always told');

export const checkSchema = z.looseObject({
  schema: z.literal('drainby.check/1'),
  asOf: time,
  windowHours: nonNegative,
  places: z.array(placeAnswer),
  units: z.array(unitAnswer),
});

const series = z.array(z.number());
/** Null before the part held water. */
const gappedSeries = z.array(z.number().nullable());
const perHour = z.union([z.number(), series]);

const partOfExplain = z.looseObject({
  id: z.string(),
  zone: z.enum(zoneNames),
  waterKg: z.number().positive(),
  wallHeatCapacityJPerK: nonNegative,
  startTemperatureC: z.number().nullable(),
  conductanceWPerK: perHour,
  blocked: share,
  solid: share,
  temperatureC: gappedSeries,
  iceFraction: gappedSeries,
  usedKelvinHours: gappedSeries,
});

export const explainSchema = z
  .looseObject({
    schema: z.literal('drainby.explain/1'),
    asOf: time,
    unit: z.string(),
    member: z.unknown().refine((member) => member !== undefined),
    constants: z.looseObject({
      latentHeatJPerKg: z.number().positive(),
      waterHeatCapacityJPerKgK: z.number().positive(),
      iceHeatCapacityJPerKgK: z.number().positive(),
    }),
    hours: z.looseObject({
      time: z.array(time),
      windSpeedMps: series,
      furnaceW: series,
      zonesC: z.partialRecord(z.enum(zoneNames), series),
    }),
    network: z.looseObject({
      capacitiesJPerK: z.record(z.string(), z.number().positive()),
      conductancesWPerK: z.record(z.string(), perHour),
    }),
    parts: z.array(partOfExplain),
    sensitivity: z.array(z.looseObject({})),
  })
  .superRefine((answer, context) => {
    const n = answer.hours.time.length - 1;
    const lengths: readonly (readonly [string, unknown, number])[] = [
      ['windSpeedMps', answer.hours.windSpeedMps, n],
      ['furnaceW', answer.hours.furnaceW, n],
      ...Object.entries(answer.hours.zonesC).map(([zone, of]) => [zone, of, n + 1] as const),
      ...Object.entries(answer.network.conductancesWPerK).map(([name, of]) => [name, of, n] as const),
      ...answer.parts.flatMap((part) => [
        [`${part.id} conductance`, part.conductanceWPerK, n] as const,
        [`${part.id} temperature`, part.temperatureC, n + 1] as const,
        [`${part.id} ice`, part.iceFraction, n + 1] as const,
        [`${part.id} used`, part.usedKelvinHours, n + 1] as const,
      ]),
    ];
    for (const [name, of, length] of lengths) {
      if (Array.isArray(of) && of.length !== length)
        context.addIssue(`${name} has ${of.length} values, not ${length}`);
    }
  });
