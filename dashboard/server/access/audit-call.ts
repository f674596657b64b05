import type { Audit } from '../../../collector/index.ts';
import type { Caller } from './caller.ts';

/** Longest body that an entry quotes, characters. Source: own choice, because a form of ours fits. */
const LONGEST_DETAIL = 1000;

/** Fields that are never written down, whatever address takes them. */
const SECRET = /password|secret|token|link|key/i;

/** Writes down that an address changed something, with what it was sent. */
export function auditCall(
  audit: Audit,
  { who, address }: Caller,
  call: { readonly method: string; readonly path: string; readonly body: unknown; readonly now: number },
): void {
  const text = call.body === undefined ? '' : JSON.stringify(call.body, withoutSecrets);
  const detail = text.length > LONGEST_DETAIL ? `${text.slice(0, LONGEST_DETAIL)}…` : text;
  audit.add({ at: call.now, who, what: `${call.method.toUpperCase()} ${call.path}`, detail, origin: address });
}

function withoutSecrets(name: string, value: unknown): unknown {
  return SECRET.test(name) ? '…' : value;
}
