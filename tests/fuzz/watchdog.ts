import { Worker } from 'node:worker_threads';

const LONGEST_S = 60;

/** Runs beside the parser, since a loop without end would never let a timer of its own thread fire. */
const WATCH = `
  const { workerData } = require('node:worker_threads');
  const beat = new Int32Array(workerData.beat);
  let last = -1;
  setInterval(() => {
    const now = Atomics.load(beat, 0);
    if (now === last) {
      require('node:fs').writeSync(2, 'No end in ${LONGEST_S} s: body ' + now + ' of ' + workerData.what + '\\n');
      process.kill(process.pid, 'SIGKILL');
    }
    last = now;
  }, ${LONGEST_S * 1000});
`;

export interface Watchdog {
  readonly alive: () => void;
  readonly stop: () => Promise<unknown>;
}

/** Ends the process, with the number of the body, when `alive` is not called for a minute. */
export function watchdog(what: string): Watchdog {
  const beat = new Int32Array(new SharedArrayBuffer(4));
  const worker = new Worker(WATCH, { eval: true, workerData: { beat: beat.buffer, what } });
  return { alive: () => void Atomics.add(beat, 0, 1), stop: () => worker.terminate() };
}
