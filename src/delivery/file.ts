import { access, mkdir, open, rename, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { DeliveryError } from '../errors.ts';
import type { OutgoingMessage } from '../message/message.ts';
import { isoSecond } from '../quantity/instant.ts';
import type { Channel } from './channel.ts';
import { toAddress } from './address.ts';
import { composeMail } from './mime.ts';
import type { Address } from './address.ts';
import type { OnTrouble } from './channel.ts';

export interface FileOptions {
  readonly directory: string;
  readonly from: Address;
  readonly onTrouble?: OnTrouble;
}

/** Longer ids are cut, so that every file system takes the name. */
const LONGEST_ID = 40;

/** Writes each attempt as one `.eml` file, the same MIME that e-mail would send. Nothing is ever overwritten. */
export function openFile({ directory, ...head }: FileOptions): Channel {
  return {
    id: 'file',
    async send(message) {
      const content = await composeMail(message, { ...head, to: recipient(message) });
      try {
        await mkdir(directory, { recursive: true });
        await writeNew(directory, nameOf(message), content);
      } catch (error) {
        throw writeFailure(directory, error);
      }
    },
    async close() {
      // Nothing is held between messages.
    },
  };
}

/** `<UTC time of the message>-<unit>-<kind>-<person>`; the number of the attempt follows. */
function nameOf({ createdAt, unit, kind, to }: OutgoingMessage): string {
  const time = isoSecond(createdAt).replaceAll(/[-:]/g, '');
  return [time, safe(unit), safe(kind), safe(to.id)].join('-');
}

function safe(id: string): string {
  const kept = id.replaceAll(/[^A-Za-z0-9_]+/g, '-').replaceAll(/^-+|-+$/g, '');
  return kept.slice(0, LONGEST_ID) || 'x';
}

/** A file needs no address; `.invalid` never is one (RFC 2606, 2). */
function recipient({ to }: OutgoingMessage): Address {
  return toAddress(to.name, to.email ?? `${safe(to.id)}@drainby.invalid`);
}

/** The first free number. A temporary name stands for its number, so two writers cannot both hold it. */
async function writeNew(directory: string, name: string, content: Buffer): Promise<void> {
  for (let number = 1; ; number += 1) {
    const final = join(directory, `${name}-${number}.eml`);
    const temporary = join(directory, `.${name}-${number}.eml.part`);
    if (!(await writeDurably(temporary, content))) continue;
    if (await exists(final)) {
      await rm(temporary);
      continue;
    }
    await rename(temporary, final);
    await syncDirectory(directory);
    return;
  }
}

/** False: the name is taken. A file that could not be written whole is removed. */
async function writeDurably(file: string, content: Buffer): Promise<boolean> {
  const handle = await open(file, 'wx').catch(nullIfTaken);
  if (handle === null) return false;
  try {
    await handle.writeFile(content);
    await handle.sync();
  } catch (error) {
    await rm(file, { force: true });
    throw error;
  } finally {
    await handle.close();
  }
  return true;
}

function nullIfTaken(error: NodeJS.ErrnoException): null {
  if (error.code === 'EEXIST') return null;
  throw error;
}

async function exists(file: string): Promise<boolean> {
  return await access(file).then(
    () => true,
    () => false,
  );
}

/** After a power cut the new name must still be there. */
async function syncDirectory(directory: string): Promise<void> {
  const handle = await open(directory, 'r');
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}

function writeFailure(directory: string, cause: unknown): DeliveryError {
  const reason = cause instanceof Error ? cause.message : String(cause);
  return new DeliveryError(
    'delivery-unreachable',
    `The message cannot be written to ${directory}: ${reason}.`,
    {
      retryable: true,
      hint: 'Check that this user may write there and that the disk has room.',
      cause,
    },
  );
}
