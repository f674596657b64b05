import { AppError, quoted, type Role } from '../../../collector/contract/index.ts';
import { type Actor, type BookTools, newSecret, type Store, type Token } from '../../../collector/index.ts';

/** A token with its secret, which is shown now and never again. */
export interface NewToken {
  readonly token: Token;
  readonly secret: string;
}

const NAME = /^[^\p{C}\p{Zl}\p{Zp}]{1,60}$/u;

/**
 * Gives a program a token, or a wall screen its link; a link of a wall never has more than that role.
 *
 * @throws {AppError} ACCOUNT_INVALID for a name that is not usable or taken
 */
export function addToken(
  { store, random }: BookTools,
  wanted: { readonly name: string; readonly kind: Token['kind']; readonly role: Role },
  actor: Actor,
): NewToken {
  const name = wanted.name.trim().normalize('NFKC');
  if (!NAME.test(name))
    throw new AppError('ACCOUNT_INVALID', `name: found ${quoted(wanted.name)}, expected 1 to 60 visible characters`);
  const role = wanted.kind === 'wall' ? 'wall' : wanted.role;
  const secret = newSecret(random);
  return store.transaction(() => {
    if (store.access.tokens.list().some((one) => one.name === name && one.revokedAt === null))
      throw new AppError('ACCOUNT_INVALID', `name: ${quoted(name)} is taken by another token or link; choose another`);
    const token = store.access.tokens.add(secret.hash, { kind: wanted.kind, name, role, createdAt: actor.now });
    audit(store, actor, wanted.kind === 'wall' ? 'wall link made' : 'token added', `${name} (${role})`);
    return { token, secret: secret.text };
  });
}

/** Takes a token or link away. @throws {AppError} NOT_FOUND */
export function revokeToken(store: Store, id: number, actor: Actor): Token {
  return store.transaction(() => {
    const token = store.access.tokens.byId(id);
    if (token === null) throw new AppError('NOT_FOUND', `no token or link has the number ${id}`);
    if (token.revokedAt !== null) return token;
    store.access.tokens.revoke(id, actor.now);
    audit(store, actor, token.kind === 'wall' ? 'wall link revoked' : 'token revoked', token.name);
    return { ...token, revokedAt: actor.now };
  });
}

function audit(store: Store, { who, origin, now }: Actor, what: string, detail: string): void {
  store.audit.add({ at: now, who, what, detail, origin });
}
