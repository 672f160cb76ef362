import { z } from 'zod';
import { DEFAULT_POLICY } from '../decision/policy.ts';
import { CostsSchema } from './costs.ts';
import { broken, numberFrom, quantity, shareAboveZero } from './field.ts';

const usual = DEFAULT_POLICY.tolerance;
const tolerated = (share: number) => numberFrom(0, 1).default(share);

/** In place of numbers: what the work costs, over what the damage would. */
export const FROM_COSTS = 'from-costs';

/** `from-costs`, or the map that `fields` describes. */
export function orFromCosts<T extends z.ZodType>(fields: T) {
  return z.union([z.literal(FROM_COSTS), fields], {
    error: broken(`must be "${FROM_COSTS}" or a map of chances by action`),
  });
}

/** As much as itself at least: less would make little of damage. */
export function caution() {
  return numberFrom(1, 20);
}

export const DEFAULT_WINDOW = `${DEFAULT_POLICY.windowHours} h`;

const usualIce = DEFAULT_POLICY.thresholds;

const ThresholdsSchema = z
  .strictObject({
    blocked: z
      .strictObject({
        rigid: shareAboveZero().default(usualIce.blocked.rigid).describe('A rigid body.'),
        flexible: shareAboveZero().default(usualIce.blocked.flexible).describe('A body that gives way.'),
      })
      .prefault({})
      .describe('Share of ice at which a part is blocked and may break.'),
    solid: shareAboveZero().default(usualIce.solid).describe('Share of ice at which it counts as solid.'),
  })
  .prefault({})
  .describe('Shares of ice that count, for parts that state none of their own.');

export const PolicySchema = z
  .strictObject({
    window: quantity('duration', { from: '1 h', to: '168 h' })
      .prefault(DEFAULT_WINDOW)
      .describe('How far ahead damage counts towards advice; beyond it only a heads-up is given.'),
    tolerance: orFromCosts(
      z.strictObject({
        nothing: tolerated(usual.nothing).describe('Chance of damage accepted when nothing is done.'),
        'keep-warm': tolerated(usual['keep-warm']).describe('Chance of damage accepted when kept warm.'),
        'drain-part': numberFrom(0, 1)
          .optional()
          .describe(
            'Chance of damage accepted when only what lies outside is drained; without it, that of nothing.',
          ),
        drain: tolerated(usual.drain).describe('Chance of damage accepted when drained.'),
        winterize: tolerated(usual.winterize).describe('Chance of damage accepted when winterized.'),
      }),
    )
      .prefault({})
      .describe(
        'Accepted chance of damage for each action, from 0 to 1; or `from-costs`: what is worth its cost.',
      ),
    caution: caution()
      .default(DEFAULT_POLICY.caution)
      .describe('With `from-costs`: how many times as much as itself a loss counts.'),
    costs: CostsSchema,
    sustained: z
      .strictObject({
        at: quantity('temperature', { from: '-40 °C', below: '0 °C' })
          .prefault(`${DEFAULT_POLICY.sustained.atC} °C`)
          .describe('Temperature at or below which a drained unit is in danger.'),
        hours: numberFrom(1, 168)
          .default(DEFAULT_POLICY.sustained.hours)
          .describe('For how many hours on end.'),
      })
      .prefault({})
      .describe('The rule of thumb for a drained unit.'),
    rule: z
      .enum(['computed', 'simple'])
      .default(DEFAULT_POLICY.rule)
      .describe('Whether wet parts are computed one by one, or judged by the rule of thumb, too.'),
    thresholds: ThresholdsSchema,
    margin: quantity('duration', { from: '0 h', to: '2 d' })
      .prefault(`${DEFAULT_POLICY.marginMinutes} min`)
      .describe('Time left over between the end of the work and the danger.'),
    callAhead: quantity('duration', { from: '6 h', to: '168 h' })
      .prefault(`${DEFAULT_POLICY.callAheadHours} h`)
      .describe(
        'How long before its time to start by work is first called for. Before that a heads-up tells of likely cold.',
      ),
    callAtOnceChance: shareAboveZero()
      .default(DEFAULT_POLICY.callAtOnceChance)
      .describe(
        'Chance of damage within the window from which work is called for at once, however far ahead its time to start by is.',
      ),
    daylight: z
      .boolean()
      .default(DEFAULT_POLICY.daylight)
      .describe('Whether work is moved into daylight where that is possible.'),
    headsUpChance: shareAboveZero()
      .default(DEFAULT_POLICY.headsUpChance)
      .describe(
        'Chance of damage above which cold is likely: a heads-up goes out, unless work is called for already.',
      ),
  })
  .prefault({})
  .describe('How much risk is accepted, and how time is kept.');
