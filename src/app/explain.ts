import { SourceError, UsageError } from '../errors.ts';
import { findUnit } from './check.ts';
import { explainAnswer, type ExplainAnswer } from './explain-answer.ts';
import { look, type LookRequest } from './look.ts';

export interface ExplainRequest extends LookRequest {
  readonly unit: string;
  readonly member: 'middle' | number;
}

/** @throws UsageError, StoreError; SourceError when the unit's place has no usable forecast. */
export async function explain(request: ExplainRequest): Promise<ExplainAnswer> {
  const unit = findUnit(request.config, request.unit);
  const places = request.config.places.filter((p) => p.id === unit.place);
  const config = { ...request.config, units: [unit], places };
  const [evaluated] = (await look({ ...request, config })).units;
  const outlook = evaluated?.place.outlook ?? null;
  if (evaluated === undefined || outlook === null) {
    const { code, message } = evaluated?.place.problem ?? {
      code: 'source-missing-place',
      message: 'no answer',
    };
    throw new SourceError('forecast-empty', `${unit.place} has no usable forecast (${code}): ${message}`);
  }
  const member = request.member === 'middle' ? outlook.middle : request.member;
  if (outlook.members[member] === undefined) {
    throw new UsageError(
      `There is no member ${member}; the forecast has members 0 to ${outlook.members.length - 1}.`,
    );
  }
  return explainAnswer({ config, evaluated, outlook, member, now: request.now });
}
