import { createRequire } from 'node:module';

type Derivative = (t: number, y: readonly number[]) => readonly number[];

/** The parts of odex 2 (Hairer's ODEX, extrapolation of the explicit midpoint rule) that are used here. */
interface OdexSolver {
  absoluteTolerance: number;
  relativeTolerance: number;
  initialStepSize: number;
  maxSteps: number;
  solve(f: Derivative, x: number, y: readonly number[], xEnd: number): { y: readonly number[] };
}

const { Solver } = createRequire(import.meta.url)('odex') as { Solver: new (n: number) => OdexSolver };

interface Span {
  readonly from: number;
  readonly to: number;
  /** Tried first; absent: the solver's own, which is tiny. */
  readonly firstStep?: number;
}

/** State at `to`, from `start` at `from`, by an independent solver with its own step control. */
export function integrate(f: Derivative, start: readonly number[], span: Span): readonly number[] {
  const solver = new Solver(start.length);
  solver.absoluteTolerance = 1e-9;
  solver.relativeTolerance = 1e-11;
  solver.maxSteps = 1_000_000;
  if (span.firstStep !== undefined) solver.initialStepSize = span.firstStep;
  return solver.solve(f, span.from, start, span.to).y;
}
