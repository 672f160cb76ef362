/**
 * Just enough of a broker that speaks MQTT 5 to see what it is sent: bytes as in the standard of OASIS (MQTT Version
 * 5.0, 2019): fixed header 2.1, CONNECT 3.1, CONNACK 3.2, PUBLISH 3.3, PUBACK 3.4, SUBSCRIBE 3.8, SUBACK 3.9.
 */
import { once } from 'node:events';
import { createServer, type AddressInfo, type Socket } from 'node:net';
import { onTestFinished } from 'vitest';

export interface Published {
  readonly version: number;
  readonly topic: string;
  readonly payload: string;
  readonly retain: boolean;
  readonly qos: number;
  /** Property 0x02 (3.3.2.3.3); null: none was given. */
  readonly expiryS: number | null;
}

export interface Broker5 {
  readonly url: string;
  next(): Promise<Published>;
}

export async function startBroker5(): Promise<Broker5> {
  const queue: Published[] = [];
  let taker: ((published: Published) => void) | null = null;
  const sockets = new Set<Socket>();
  const put = (published: Published): void => {
    if (taker === null) queue.push(published);
    else taker(published);
    taker = null;
  };
  const server = createServer((socket) => {
    sockets.add(socket);
    serve(socket, put);
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  onTestFinished(() => {
    for (const socket of sockets) socket.destroy();
    server.close();
  });
  return {
    url: `mqtt://127.0.0.1:${(server.address() as AddressInfo).port}`,
    next: () => {
      const first = queue.shift();
      if (first !== undefined) return Promise.resolve(first);
      return new Promise((resolve) => {
        taker = resolve;
      });
    },
  };
}

function serve(socket: Socket, put: (published: Published) => void): void {
  let bytes = Buffer.alloc(0);
  let version = 0;
  socket.on('error', () => undefined);
  socket.on('data', (more) => {
    bytes = Buffer.concat([bytes, more]);
    for (;;) {
      const packet = firstPacket(bytes);
      if (packet === null) return;
      bytes = bytes.subarray(packet.length);
      const { type, flags, body } = packet;
      if (type === 1) {
        version = body[6] ?? 0;
        socket.write(Buffer.from([0x20, 3, 0, 0, 0]));
      } else if (type === 8) socket.write(Buffer.from([0x90, 4, body[0] ?? 0, body[1] ?? 0, 0, 1]));
      else if (type === 12) socket.write(Buffer.from([0xd0, 0]));
      else if (type === 3) {
        const { id, ...published } = publishOf(flags, body);
        put({ version, ...published });
        socket.write(Buffer.from([0x40, 2, id >> 8, id & 255]));
      }
    }
  });
}

function firstPacket(bytes: Buffer) {
  let length = 0;
  for (let at = 1, factor = 1; at < bytes.length && at < 5; at += 1, factor *= 128) {
    const byte = bytes[at]!;
    length += (byte & 127) * factor;
    if (byte >= 128) continue;
    if (bytes.length < at + 1 + length) return null;
    const body = bytes.subarray(at + 1, at + 1 + length);
    return { type: bytes[0]! >> 4, flags: bytes[0]! & 15, body, length: at + 1 + length };
  }
  return null;
}

function publishOf(flags: number, body: Buffer) {
  const topicEnd = 2 + body.readUInt16BE(0);
  const qos = (flags >> 1) & 3;
  const id = body.readUInt16BE(topicEnd);
  // One byte tells the length of so few properties.
  const properties = body.subarray(topicEnd + 3, topicEnd + 3 + body[topicEnd + 2]!);
  return {
    id,
    topic: body.toString('utf8', 2, topicEnd),
    payload: body.toString('utf8', topicEnd + 3 + properties.length),
    retain: (flags & 1) === 1,
    qos,
    expiryS: properties[0] === 2 ? properties.readUInt32BE(1) : null,
  };
}
