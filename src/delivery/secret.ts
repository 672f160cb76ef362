import { readFileSync } from 'node:fs';
import type { Secret } from '../config/config.ts';
import { DeliveryError } from '../errors.ts';

export type Environment = Readonly<Record<string, string | undefined>>;

/** What is missing, and under which key of the config it is named, such as `delivery.email.password`. */
export interface SecretName {
  readonly what: string;
  readonly key: string;
}

/** What stands where the config says, or in a full sentence why nothing does. */
export type SecretText =
  | { readonly ok: true; readonly text: string }
  | { readonly ok: false; readonly problem: string; readonly cause?: unknown };

/** @throws {DeliveryError} 'delivery-config' when it is not where the config says. */
export function readSecret(secret: Secret | null, env: Environment, name: SecretName): string | null {
  if (secret === null) return null;
  const found = secretText(secret, env, name.what);
  if (found.ok) return found.text;
  throw new DeliveryError('delivery-config', found.problem, {
    hint: `Put it there before the program starts, or take ${name.key} out of the configuration.`,
    cause: found.cause,
  });
}

export function secretText(secret: Secret, env: Environment, what: string): SecretText {
  try {
    const text = 'env' in secret ? env[secret.env] : readFile(secret.file);
    if (text !== undefined && text !== '') return { ok: true, text };
    const where = 'env' in secret ? `The environment variable ${secret.env}` : `The file ${secret.file}`;
    return { ok: false, problem: `${where} holds no ${what}.` };
  } catch (cause) {
    const file = 'file' in secret ? secret.file : '';
    return { ok: false, problem: `The file ${file} with the ${what} cannot be read.`, cause };
  }
}

/** Editors end a file with a line end that is not the secret's. */
function readFile(file: string): string {
  return readFileSync(file, 'utf8').replace(/\r?\n$/, '');
}
