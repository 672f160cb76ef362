import { readFileSync } from 'node:fs';
import type { Secret } from '../config/config.ts';
import { DeliveryError } from '../errors.ts';

export type Environment = Readonly<Record<string, string | undefined>>;

/** What is missing, and under which key of the config it is named, such as `delivery.email.password`. */
export interface SecretName {
  readonly what: string;
  readonly key: string;
}

/** @throws {DeliveryError} 'delivery-config' when it is not where the config says. */
export function readSecret(secret: Secret | null, env: Environment, name: SecretName): string | null {
  if (secret === null) return null;
  const text = 'env' in secret ? env[secret.env] : readSecretFile(secret.file, name);
  if (text !== undefined && text !== '') return text;
  const where = 'env' in secret ? `The environment variable ${secret.env}` : `The file ${secret.file}`;
  throw new DeliveryError('delivery-config', `${where} holds no ${name.what}.`, {
    hint: `Set it before the program starts, or take ${name.key} out of the configuration.`,
  });
}

/** Editors end a file with a line end that is not the secret's. */
function readSecretFile(file: string, { what }: SecretName): string {
  try {
    return readFileSync(file, 'utf8').replace(/\r?\n$/, '');
  } catch (error) {
    throw new DeliveryError('delivery-config', `The file ${file} with the ${what} cannot be read.`, {
      hint: 'Check that it exists and that this user may read it.',
      cause: error,
    });
  }
}
