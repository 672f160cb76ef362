/** What the work at a unit takes, and what is accepted there: its own words before the usual ones. */
import type { Action } from '../decision/advice.ts';
import type { Policy, Work } from '../decision/policy.ts';
import { routeOf, usualMinutes, type Kit, type Route } from '../model/catalogue-work.ts';
import { STOWED_CIRCUIT } from '../model/damage.ts';
import type { Part } from '../model/unit.ts';
import type { UnitConfig } from './config.ts';
import { FROM_COSTS } from './policy.ts';
import type { ParsedUnit } from './schema.ts';

export function deriveDoing(
  unit: ParsedUnit,
  parts: readonly Part[],
  policy: Policy,
): Pick<UnitConfig, 'work' | 'kit' | 'route' | 'policy'> {
  const { bypass = null, pumpKit = null, compressor = null } = unit.kit;
  const kit: Kit = { bypass, pumpKit, compressor };
  const { ownHour, serviceHour, antifreezePerGallon: gallon } = policy.costs;
  const hour = unit.work.by === 'crew' ? serviceHour : ownHour;
  const route = routeOf(parts, kit, { hour, gallon });
  return { kit, route, work: deriveWork(unit.work, parts, route), policy: ownPolicy(unit, policy) };
}

/** What a person states is theirs, whatever the cold; the rest comes from the parts, and cold adds to it. */
function deriveWork(work: ParsedUnit['work'], parts: readonly Part[], route: Route): Work {
  const usual = usualMinutes(parts, work.by, route);
  const { keepWarm, drain, winterize, travel } = work;
  const minutes = (stated: number | undefined, otherwise: number): number =>
    stated === undefined ? otherwise : stated / 60;
  const slowed: readonly (readonly [Action, number | undefined])[] = [
    ['keep-warm', keepWarm],
    ['drain-part', drain],
    ['drain', drain],
    ['winterize', winterize],
  ];
  return {
    keepWarmMinutes: minutes(keepWarm, usual.keepWarm + (runsFromTank(parts) ? work.fill / 60 : 0)),
    drainMinutes: minutes(drain, usual.drain),
    winterizeMinutes: minutes(winterize, usual.antifreeze),
    travelMinutes: travel / 60,
    ...(winterize === undefined ? { airMinutes: usual.air } : {}),
    hands: work.by,
    slowedByCold: slowed.filter(([, stated]) => stated === undefined).map(([action]) => action),
  };
}

/** Once its hose is off: then the list for dusk asks for a full tank. */
function runsFromTank(parts: readonly Part[]): boolean {
  return [STOWED_CIRCUIT, 'tank-fresh'].every((circuit) => parts.some((part) => part.circuit === circuit));
}

/** A map names some chances and leaves the rest as they are; it also takes the place of `from-costs`. */
function ownPolicy({ policy: own }: ParsedUnit, policy: Policy): Policy {
  const caution = own.caution ?? policy.caution;
  if (own.tolerance === undefined) return { ...policy, caution };
  if (own.tolerance === FROM_COSTS) return { ...policy, caution, toleranceFrom: 'costs' };
  const { nothing, 'keep-warm': keepWarm, 'drain-part': drainPart, drain, winterize } = own.tolerance;
  const tolerance = {
    ...policy.tolerance,
    ...(nothing === undefined ? {} : { nothing }),
    ...(keepWarm === undefined ? {} : { 'keep-warm': keepWarm }),
    ...(drainPart === undefined ? {} : { 'drain-part': drainPart }),
    ...(drain === undefined ? {} : { drain }),
    ...(winterize === undefined ? {} : { winterize }),
  };
  return { ...policy, caution, toleranceFrom: 'stated', tolerance };
}
