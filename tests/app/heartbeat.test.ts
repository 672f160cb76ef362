/** The heartbeat through a real socket: sent while all is fresh, and only then. */
import { once } from 'node:events';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { describe, expect, it, onTestFinished } from 'vitest';
import { Heartbeat, type HeartbeatOptions } from '../../src/app/heartbeat.ts';

type Answer = (request: IncomingMessage, response: ServerResponse) => void;

async function watcher(answer: Answer = (_, response) => response.end('ok')) {
  const asked: string[] = [];
  const server = createServer((request, response) => {
    asked.push(`${request.method} ${request.url}`);
    answer(request, response);
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  onTestFinished(() => {
    server.closeAllConnections();
    server.close();
  });
  return { asked, url: `http://127.0.0.1:${(server.address() as AddressInfo).port}/ping` };
}

function beating(url: string, over: Partial<HeartbeatOptions> = {}) {
  const lines: string[] = [];
  const say = (fields: object, message: string): void =>
    void lines.push(`${message} ${JSON.stringify(fields)}`);
  const stop = new AbortController();
  const heartbeat = new Heartbeat({
    url,
    everyMs: 3_600_000,
    wellness: async () => ({ lastRoundAt: 0, reasons: [] }),
    signal: stop.signal,
    log: { info: say, warn: say, error: say },
    ...over,
  });
  return { heartbeat, lines, stop };
}

describe('a heartbeat', () => {
  it('is sent once a round has ended, and then waits for its time', async () => {
    const { asked, url } = await watcher();
    const { heartbeat } = beating(url);
    heartbeat.roundEnded();
    await heartbeat.ended();
    heartbeat.roundEnded();
    await heartbeat.ended();
    expect(asked).toEqual(['GET /ping']);
  });

  it('is held back while something is not fresh, said once, and sent with the first round when it is', async () => {
    const { asked, url } = await watcher();
    const reasons = ['The last round had no forecast for 1 place.'];
    const { heartbeat, lines } = beating(url, { wellness: async () => ({ lastRoundAt: 0, reasons }) });
    heartbeat.roundEnded();
    heartbeat.roundEnded();
    await heartbeat.ended();
    expect([asked, lines.length]).toEqual([[], 1]);
    expect(lines[0]).toMatch(/held back.*no forecast for 1 place/);
    reasons.length = 0;
    heartbeat.roundEnded();
    await heartbeat.ended();
    expect(asked).toHaveLength(1);
  });

  it('follows no redirect, and says which status it got', async () => {
    const other = await watcher();
    const { url } = await watcher((_, response) => {
      response.writeHead(302, { location: other.url }).end();
    });
    const { heartbeat, lines } = beating(url);
    heartbeat.roundEnded();
    await heartbeat.ended();
    expect(other.asked).toEqual([]);
    expect(lines).toEqual([expect.stringContaining('status 302')]);
  });

  it('gives up on an address that does not answer, and stops with the program', async () => {
    const silent: Answer = () => undefined;
    const { url } = await watcher(silent);
    const slow = beating(url, { timeoutMs: 50 });
    slow.heartbeat.roundEnded();
    await slow.heartbeat.ended();
    expect(slow.lines).toEqual([expect.stringContaining('could not be sent')]);
    let arrived: () => void = () => undefined;
    const here = new Promise<void>((resolve) => {
      arrived = resolve;
    });
    const second = await watcher(() => arrived());
    const stopped = beating(second.url);
    stopped.heartbeat.roundEnded();
    await here;
    stopped.stop.abort();
    await stopped.heartbeat.ended();
    expect(stopped.lines).toEqual([]);
  });
});
