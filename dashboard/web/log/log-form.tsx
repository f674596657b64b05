import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { CHANNEL_NAMES } from '../../../collector/contract/channels.ts';
import { ACTIONS, FOUND, PART_IDS, type PartId } from '../../../collector/contract/parts.ts';
import type { Recorded } from '../../server/endpoints/log.ts';
import type { Site } from '../../server/endpoints/site.ts';
import { ApiFault } from '../api.ts';
import { CheckHelp } from '../checks/check-help.tsx';
import { now } from '../link/live.ts';
import { TimeField } from '../time-field.tsx';
import { localFieldValue } from '../words/local-field.ts';
import { causeName } from '../words/names.ts';
import { Choice } from './choice.tsx';
import { ACTION_WORDS, bodyOf, type Draft, EMPTY, FOUND_WORDS, inWords, isAction, isFound, missing } from './draft.ts';
import { type Parcel, parcel, send } from './send-entry.ts';

interface Props {
  readonly site: Site;
  readonly preset: Draft;
  readonly onLogged: (entry: Recorded) => void;
}

const SENSOR = 'sensor';

/** Parts that the plant file gives a gun; all while none is chosen. */
const partsOf = (site: Site, gun: string | null): readonly PartId[] =>
  site.guns.find(({ id }) => id === gun)?.parts ?? PART_IDS;

/** The form that writes one entry into the maintenance log. */
export function LogForm({ site, preset, onLogged }: Props): JSX.Element {
  const draft = useSignal<Draft>(preset);
  const sensor = useSignal(preset.part?.startsWith('sensor:') ?? false);
  const fault = useSignal<string | null>(null);
  const sending = useSignal(false);
  /** What was sent and not confirmed; kept so that sending again writes nothing twice. */
  const onItsWay = useSignal<Parcel | null>(null);

  const change = (part: Partial<Draft>): void => {
    draft.value = { ...draft.value, ...part };
    onItsWay.value = null;
    fault.value = null;
  };

  const submit = async (): Promise<void> => {
    const gaps = missing(draft.value, site.timezone);
    if (gaps.length > 0) {
      fault.value = `Still to say: ${gaps.join(', ')}.`;
      return;
    }
    onItsWay.value ??= parcel(bodyOf(draft.value, now.peek(), site.timezone));
    sending.value = true;
    fault.value = null;
    try {
      const entry = await send(onItsWay.value);
      draft.value = { ...EMPTY, gun: entry.gun };
      sensor.value = false;
      onItsWay.value = null;
      onLogged(entry);
    } catch (error) {
      if (!(error instanceof ApiFault)) throw error;
      fault.value = error.problem
        ? `Not logged. ${error.message}`
        : `${error.message} Not confirmed: press again, it is written down once.`;
    } finally {
      sending.value = false;
    }
  };

  const { gun, part, action, found, at, note, standOff } = draft.value;
  const gunName = site.guns.find(({ id }) => id === gun)?.name ?? gun ?? '';
  const parts = partsOf(site, gun);
  const ready = gun !== null && part !== null && action !== null;
  return (
    <form
      class="log-form"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void submit();
      }}
    >
      <Choice
        name="gun"
        legend="Gun"
        options={site.guns.map(({ id, name }) => ({ value: id, label: name }))}
        value={gun}
        onChange={(value) => {
          const has = part === null || sensor.peek() || partsOf(site, value).some((id) => id === part);
          change({ gun: value, ...(has ? {} : { part: null }) });
        }}
      />
      <Choice
        name="part"
        legend="Part"
        options={[...parts.map((id) => ({ value: id, label: causeName(id) })), { value: SENSOR, label: 'A sensor' }]}
        value={sensor.value ? SENSOR : part}
        onChange={(value) => {
          sensor.value = value === SENSOR;
          change({ part: value === SENSOR ? null : value });
        }}
      />
      {sensor.value && (
        <label class="field">
          <span>Which sensor</span>
          <select value={part ?? ''} onChange={(event) => change({ part: event.currentTarget.value || null })}>
            <option value="">Choose</option>
            {CHANNEL_NAMES.map((channel) => (
              <option key={channel} value={`sensor:${channel}`}>
                {causeName(`sensor:${channel}`)}
              </option>
            ))}
          </select>
        </label>
      )}
      {part !== null && !sensor.value && <CheckHelp part={part} as="h2" />}
      <Choice
        name="action"
        legend="Done"
        options={ACTIONS.map((value) => ({ value, label: ACTION_WORDS[value] }))}
        value={action}
        onChange={(value) => isAction(value) && change({ action: value })}
      />
      <Choice
        name="found"
        legend={action === 'replaced' || action === null ? 'The old part was found' : 'It was found'}
        options={[
          ...FOUND.map((value) => ({ value, label: FOUND_WORDS[value] })),
          { value: '', label: 'Not looked at' },
        ]}
        value={found ?? ''}
        onChange={(value) => change({ found: isFound(value) ? value : null })}
      />
      {part === 'pump-insert' && (
        <label class="field">
          <span>Wear gauge stands off by, in mm, if measured (new about 25, worn 0)</span>
          <input
            type="text"
            inputMode="decimal"
            maxLength={8}
            value={standOff}
            onInput={(event) => change({ standOff: event.currentTarget.value.replace(',', '.').trim() })}
          />
        </label>
      )}
      <Choice
        name="when"
        legend="When"
        options={[
          { value: 'now', label: 'Just now' },
          { value: 'earlier', label: 'Earlier' },
        ]}
        value={at === null ? 'now' : 'earlier'}
        onChange={(value) =>
          change({
            at: value === 'now' ? null : now.peek() === null ? '' : localFieldValue(now.peek() ?? 0, site.timezone),
          })
        }
      />
      {at !== null && (
        <TimeField
          class="field"
          label={`Date and time at ${site.name}`}
          value={at}
          style={site}
          onValue={(next) => change({ at: next })}
        />
      )}
      <label class="field">
        <span>Note, if any</span>
        <textarea
          rows={2}
          maxLength={2000}
          value={note}
          onInput={(event) => change({ note: event.currentTarget.value })}
        />
      </label>
      <div class="log-send">
        <p class="fault" role="alert">
          {fault.value}
        </p>
        <button type="submit" class="button button-main" disabled={sending.value}>
          {sending.value ? 'Logging…' : ready ? `Log “${inWords({ part, action, found }, gunName)}”` : 'Log it'}
        </button>
      </div>
    </form>
  );
}
