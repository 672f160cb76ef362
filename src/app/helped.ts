/** Keeping it warm by the measures that help, where it may be the advice. */
import type { Candidate } from '../decision/candidate.ts';
import { sufficing } from '../decision/decide.ts';
import { keepWarm } from '../decision/options.ts';
import type { Tolerances } from '../decision/tolerance.ts';
import type { Warming } from '../model/kept-warm.ts';
import type { RiskAssessor } from '../model/risk.ts';
import { candidateOf, type Asked, type Considered } from './considered.ts';
import { whatHelps } from './measures.ts';
import { coldestC, optionRequest, type Asking, type Way } from './ways.ts';

export interface Helping {
  readonly asking: Asking;
  readonly way: Way;
  readonly assessor: RiskAssessor;
  readonly asked: Asked;
  readonly tolerance: Tolerances;
}

/** The same candidates, of which keeping it warm takes only what helps. */
export function helped(all: readonly Considered[], helping: Helping): readonly Considered[] {
  const { asking, way, assessor, asked, tolerance } = helping;
  const candidates = all.map((c) => c.candidate);
  const warm = all.find((c) => c.candidate.action === 'keep-warm');
  if (warm?.candidate.measures === undefined) return all;
  if (!mayBeAdvised(warm.candidate, candidates, tolerance)) return all;
  const request = optionRequest(asking, way, true);
  const consider = (warming: Warming): Considered | null => {
    const option = keepWarm(request, warming);
    const [risk] = assessor.assess([option.scenario]);
    return risk === undefined ? null : { option, candidate: candidateOf(option, risk, asked) };
  };
  const { measures } = whatHelps({
    unit: asking.unit,
    warming: { unit: asking.unitOf(warm.candidate.measures), measures: warm.candidate.measures },
    chance: warm.candidate.chance,
    tolerance: tolerance['keep-warm'],
    freezes: coldestC(asking) < 0,
    unitOf: asking.unitOf,
    chanceOf: (warming) => consider(warming)?.candidate.chance ?? 1,
  });
  const fewer = consider({ unit: asking.unitOf(measures), measures });
  return all.map((c) => (c === warm ? (fewer ?? c) : c));
}

function mayBeAdvised(warm: Candidate, candidates: readonly Candidate[], tolerance: Tolerances): boolean {
  const chosen = sufficing(candidates, tolerance);
  if (chosen !== undefined) return chosen === warm;
  return candidates.every((c) => c.action !== 'nothing' || warm.chance < c.chance);
}
