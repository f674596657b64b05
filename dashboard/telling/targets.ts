import type { OperationConfig } from '../../collector/index.ts';

/** Who is told, as the outbox names them: `mail`, and each webhook by its name. */
export function targetsOf({ mail: { host, from, to }, webhooks }: OperationConfig['telling']): string[] {
  const mails = host !== '' && from !== '' && to.length > 0;
  return [...(mails ? ['mail'] : []), ...webhooks.map(({ name }) => `webhook:${name}`)];
}
