/** An event of a calendar. Times are epoch ms. */
export interface CalendarEvent {
  /** Stays the same for the same thing, whatever else changes. */
  readonly uid: string;
  readonly start: number;
  readonly end: number;
  /** The plant's date, YYYY-MM-DD, where no time of the day is meant: the event is of the whole day. */
  readonly day?: string;
  readonly summary: string;
  readonly description: string;
  readonly categories: readonly string[];
  /** When what it says last changed, and how often it has been. */
  readonly changed: number;
  readonly sequence: number;
}

/** Longest line in octets, without its end. Source: RFC 5545 section 3.1. */
const LINE_OCTETS = 75;

/**
 * A calendar that others subscribe to: RFC 5545, one VEVENT each, times in UTC (section 3.3.5, form 2), so that no time zone has to be told, whole
 * days as dates, whose end is not in it (section 3.6.1); lines folded at 75 octets, ended by CRLF. `REFRESH-INTERVAL` is RFC 7986's.
 */
export function calendarText(name: string, timezone: string, events: readonly CalendarEvent[]): string {
  const lines = [
    'BEGIN:VCALENDAR',
    'VERSION:2.0',
    'PRODID:-//driftline//maintenance plan//EN',
    'CALSCALE:GREGORIAN',
    `NAME:${escaped(name)}`,
    `X-WR-CALNAME:${escaped(name)}`,
    `X-WR-TIMEZONE:${escaped(timezone)}`,
    'REFRESH-INTERVAL;VALUE=DURATION:PT1H',
    ...events.flatMap((event) => [
      'BEGIN:VEVENT',
      `UID:${escaped(event.uid)}`,
      `DTSTAMP:${utc(event.changed)}`,
      `LAST-MODIFIED:${utc(event.changed)}`,
      `SEQUENCE:${event.sequence}`,
      ...(event.day === undefined
        ? [`DTSTART:${utc(event.start)}`, `DTEND:${utc(event.end)}`]
        : [`DTSTART;VALUE=DATE:${date(event.day)}`, `DTEND;VALUE=DATE:${date(event.day, 1)}`]),
      `SUMMARY:${escaped(event.summary)}`,
      `DESCRIPTION:${escaped(event.description)}`,
      ...(event.categories.length > 0 ? [`CATEGORIES:${event.categories.map(escaped).join(',')}`] : []),
      'TRANSP:TRANSPARENT',
      'END:VEVENT',
    ]),
    'END:VCALENDAR',
  ];
  return lines.map((line) => `${folded(line)}\r\n`).join('');
}

/** Text as a property's value: section 3.3.11. What is no text there (control characters) becomes a space. */
function escaped(text: string): string {
  return (
    text
      .replace(/\r\n?/g, '\n')
      .replace(/[\\;,]/g, (found) => `\\${found}`)
      .replace(/\n/g, '\\n')
      // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what it looks for
      .replace(/[\u0000-\u001f\u007f]/g, ' ')
      .replace(/\p{Surrogate}/gu, '\ufffd')
  );
}

/** A time as `20260309T132500Z`. */
function utc(ms: number): string {
  return `${new Date(Math.floor(ms / 1000) * 1000).toISOString().replace(/[-:]/g, '').slice(0, 15)}Z`;
}

/** A date as `20260309`, `ahead` days later. */
function date(day: string, ahead = 0): string {
  const ms = Date.parse(`${day}T00:00:00Z`) + ahead * 86_400_000;
  return new Date(ms).toISOString().slice(0, 10).replace(/-/g, '');
}

/** A line cut into pieces of at most 75 octets, those after the first begun by a space; no character is cut. */
function folded(line: string): string {
  const pieces: string[] = [];
  let piece = '';
  let octets = 0;
  for (const character of line) {
    const length = Buffer.byteLength(character);
    // The space that begins a piece counts too.
    if (octets + length > LINE_OCTETS) {
      pieces.push(piece);
      piece = '';
      octets = 1;
    }
    piece += character;
    octets += length;
  }
  return [...pieces, piece].join('\r\n ');
}
