import type { AccessVerdict, BrokerAccess } from '../broker/access.ts';
import type { ConnectPacket } from '../broker/connect-packet.ts';
import { conditionTopic, type Topic } from '../broker/topics.ts';
import type { StationAccount, StationAccounts } from '../store/store.ts';
import { sameHash, secretHash } from './secrets.ts';

/** Compared with where there is no account, so that the time taken does not tell which names exist. */
const NOBODY = secretHash('');

/**
 * What an edge node has to hear: commands to itself and its devices, and whether its host is there. Sparkplug 3.0, sections
 * 6.4.19 to 6.4.26.
 */
const SPARKPLUG_COMMANDS = /^(spBv1\.0\/[^/+#]+\/[ND]CMD\/[^/+#]+(\/[^#]+|\/#)?|(spBv1\.0\/)?STATE\/[^/+#]+)$/;

/** What the rules of one plant's broker are made of. */
export interface StationRules {
  readonly root: string;
  readonly site: string;
  readonly accounts: Pick<StationAccounts, 'byName' | 'secretOf'>;
  readonly door: Door;
}

/** What the rules ask of, and tell to, whoever watches over the accounts. */
export interface Door {
  /** False while no accounts are set up: then everybody who reaches the port, on loopback, may do everything. */
  required(): boolean;
  /** Told of every account that comes in, and the SHA-256 of the secret that it showed. */
  cameIn(name: string, secret: Uint8Array): void;
}

/**
 * Who may do what over MQTT. A station publishes its own readings and online state, and hears its own condition and online
 * state; a reader hears conditions; a gateway publishes what the configuration maps, of whatever station. User name and
 * password of CONNECT are an account's name and secret.
 */
export class StationAccess implements BrokerAccess {
  readonly #rules: StationRules;
  /** Of accounts that have connected; a name keeps its kind for ever. */
  readonly #kinds = new Map<string, StationAccount['kind']>();

  constructor(rules: StationRules) {
    this.#rules = rules;
  }

  authenticate({ userName, password }: Pick<ConnectPacket, 'userName' | 'password'>): AccessVerdict {
    if (!this.#rules.door.required()) return { ok: true, account: '' };
    if (userName === null || password === null)
      return { ok: false, returnCode: 5, fault: 'it gives no user name and password; accounts are set up here' };
    const kept = this.#rules.accounts.secretOf(userName);
    const shown = secretHash(password);
    const same = sameHash(shown, kept ?? NOBODY);
    const account = kept === null || !same ? null : this.#rules.accounts.byName(userName);
    if (account === null) return { ok: false, returnCode: 4, fault: 'its user name and password are of no account' };
    this.#kinds.set(account.name, account.kind);
    this.#rules.door.cameIn(account.name, shown);
    return { ok: true, account: account.name };
  }

  mayPublish(account: string, topic: Topic): boolean {
    if (account === '') return !this.#rules.door.required();
    const kind = this.#kinds.get(account);
    if (kind === 'gateway') return topic.kind === 'mapped';
    return (
      kind === 'station' &&
      topic.station === account &&
      topic.site === this.#rules.site &&
      (topic.kind === 'readings' || topic.kind === 'online')
    );
  }

  maySubscribe(account: string, filter: string): boolean {
    if (account === '') return !this.#rules.door.required();
    const { root, site } = this.#rules;
    const kind = this.#kinds.get(account);
    if (kind === 'gateway') return SPARKPLUG_COMMANDS.test(filter);
    if (kind === 'station')
      return filter === conditionTopic(root, site, account) || filter === `${root}/${site}/${account}/online`;
    // One wildcard, in the place of the gun: nothing but conditions can match it.
    const gun = filter.slice(root.length + site.length + 2).split('/')[0] ?? '';
    return gun !== '#' && filter === conditionTopic(root, site, gun);
  }
}
