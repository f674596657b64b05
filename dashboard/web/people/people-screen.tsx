import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { Frame } from '../frame/frame.tsx';
import { me } from '../sign-in/me.ts';
import { PeoplePart } from './people-part.tsx';
import { SecretOnce, type Shown } from './secret-once.tsx';
import { StationsPart } from './stations-part.tsx';
import { TokensPart } from './tokens-part.tsx';

/** For administrators: people, wall screens, programs and stations. */
export function PeopleScreen(): JSX.Element {
  const secret = useSignal<Shown | null>(null);
  const onSecret = (shown: Shown): void => {
    secret.value = shown;
  };
  const accounts = me.value?.accounts ?? true;
  return (
    <Frame title="People and stations" page="people">
      {!accounts && (
        <p>
          No accounts are set up. The first one has to be an administrator’s: from that moment on everybody signs in,
          and stations need an account of their own over MQTT.
        </p>
      )}
      {secret.value && (
        <SecretOnce
          {...secret.value}
          onDone={() => {
            secret.value = null;
            // Nobody was signed in before the first account was made: from here on somebody has to be.
            if (!accounts) location.reload();
          }}
        />
      )}
      <PeoplePart onSecret={onSecret} />
      {accounts && <TokensPart onSecret={onSecret} />}
      {accounts && <StationsPart onSecret={onSecret} />}
      {accounts && (
        <p class="people-part">
          <a href="/audit">Who changed what: the audit trail</a>
        </p>
      )}
    </Frame>
  );
}
