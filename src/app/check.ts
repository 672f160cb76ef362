import type { Config, UnitConfig } from '../config/config.ts';
import type { Advice } from '../decision/advice.ts';
import { EXIT, EXIT_PRECEDENCE, UsageError, type ExitCode } from '../errors.ts';
import { checkAnswer, type CheckAnswer } from './check-answer.ts';
import type { Evaluation } from './evaluate.ts';
import { lookAll, type LookRequest } from './look.ts';

export interface CheckRequest extends LookRequest {
  /** Empty: all. */
  readonly units: readonly string[];
  readonly failOnAction: boolean;
}

export interface CheckResult {
  readonly answer: CheckAnswer;
  readonly exit: ExitCode;
}

/** @throws UsageError for a unit that the config does not know; StoreError. */
export async function check(request: CheckRequest): Promise<CheckResult> {
  const config = onlyUnits(request.config, request.units);
  const { evaluation, delivery } = await lookAll({ ...request, config });
  const answer = checkAnswer(config, evaluation, delivery);
  return { answer, exit: exitOf(evaluation, answer, request.failOnAction) };
}

/** With units named, only their places are asked. */
function onlyUnits(config: Config, ids: readonly string[]): Config {
  if (ids.length === 0) return config;
  const chosen = new Set(ids.map((id) => findUnit(config, id)));
  const units = config.units.filter((u) => chosen.has(u));
  const places = config.places.filter((p) => units.some((u) => u.place === p.id));
  return { ...config, units, places };
}

export function findUnit(config: Config, id: string): UnitConfig {
  const unit = config.units.find((u) => u.id === id);
  if (unit !== undefined) return unit;
  const known = config.units.map((u) => u.id).join(', ');
  throw new UsageError(`There is no unit "${id}" in ${config.file}. Its units are: ${known || 'none'}.`);
}

function exitOf(evaluation: Evaluation, { delivery }: CheckAnswer, failOnAction: boolean): ExitCode {
  const codes = new Set<ExitCode>();
  if (evaluation.places.some((p) => p.problem !== null)) codes.add(EXIT.noForecast);
  if (evaluation.units.some((u) => u.record.damaged)) codes.add(EXIT.store);
  if ((delivery?.unreadable ?? 0) > 0) codes.add(EXIT.store);
  const action = evaluation.units.some(
    ({ assessment }) => assessment !== null && needsSomeone(assessment.advice),
  );
  if (delivery !== undefined && delivery.lost + delivery.unreached.length > 0) codes.add(EXIT.undelivered);
  if (failOnAction && action) codes.add(EXIT.action);
  return firstExit(codes);
}

/** Doing nothing because ice is in the way, or because nothing helps, needs a person all the same. */
function needsSomeone({ action, reasonCode }: Advice): boolean {
  return action !== 'nothing' || reasonCode === 'frozen-path' || reasonCode === 'nothing-suffices';
}

export function firstExit(codes: ReadonlySet<ExitCode>): ExitCode {
  return EXIT_PRECEDENCE.find((code) => codes.has(code)) ?? EXIT.ok;
}
