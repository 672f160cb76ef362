import type { Config } from '../config/config.ts';

/** The same for the same news, however often it is sent and by whichever process; under the domain of the sender. */
export function messageIdOf({ delivery }: Pick<Config, 'delivery'>, ...parts: readonly string[]): string {
  const domain = /@([A-Za-z0-9.-]+)/.exec(delivery.email?.from ?? '')?.[1] ?? 'drainby.invalid';
  return `<${parts.join('.').replaceAll(/[^A-Za-z0-9.-]/g, '')}@${domain}>`;
}
