import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { Site } from '../../server/endpoints/site.ts';
import { TimeField } from '../time-field.tsx';
import { fromLocalField, localFieldValue } from '../words/local-field.ts';
import { type Span, TOLD_BY_SECONDS_MS, typedSpan } from './look.ts';

interface Props {
  readonly site: Site;
  readonly span: Span;
  readonly goTo: (span: Span) => void;
}

/** What stands in the fields, the span over which it was typed, and why it cannot be shown; null while nothing speaks against it. */
interface Typed {
  readonly over: string;
  readonly from: string;
  readonly to: string;
  readonly fault: string | null;
}

/** The span that is shown, as dates and clock times of the plant that can be typed over. */
export function SpanForm({ site, span, goTo }: Props): JSX.Element {
  const withSeconds = span.to - span.from < TOLD_BY_SECONDS_MS;
  const shown = {
    from: localFieldValue(span.from, site.timezone, withSeconds),
    to: localFieldValue(span.to, site.timezone, withSeconds),
  };
  // What was typed over one span says nothing of the next, nor does the fault in it; the fields stay, and with them the focus.
  const over = `${span.from} ${span.to}`;
  const untyped = { over, ...shown, fault: null };
  const [typed, setTyped] = useState<Typed>(untyped);
  const { from, to, fault } = typed.over === over ? typed : untyped;
  const type = (change: Partial<typeof shown>): void => setTyped({ over, from, to, ...change, fault: null });
  // An end that nobody touched is what it is, to the millisecond, and not what its field has room for.
  const meant = (end: 'from' | 'to', value: string): number | null =>
    value === shown[end] ? span[end] : fromLocalField(value, site.timezone);
  return (
    <form
      class="span-form"
      noValidate
      aria-label="Span by date and time"
      onSubmit={(event) => {
        event.preventDefault();
        const asked = typedSpan(meant('from', from), meant('to', to));
        setTyped({ over, from, to, fault: typeof asked === 'string' ? asked : null });
        if (typeof asked !== 'string') goTo(asked);
      }}
    >
      <div class="look-row">
        <TimeField
          label="From"
          value={from}
          style={site}
          withSeconds={withSeconds}
          onValue={(next) => type({ from: next })}
        />
        <TimeField
          label="to"
          value={to}
          style={site}
          withSeconds={withSeconds}
          onValue={(next) => type({ to: next })}
        />
        <button type="submit" class="button">
          Show
        </button>
        <span class="soft">clock of {site.timezone}</span>
      </div>
      {fault !== null && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
    </form>
  );
}
