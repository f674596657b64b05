import { isPartId } from '../../collector/contract/index.ts';
import type { StatedFigures } from '../../collector/index.ts';

/** What a statement of the shop's is about, and what it did, in words. */
interface StatedWords {
  readonly kind: 'figures' | 'job';
  readonly gun: string | null;
  readonly subject: string;
  readonly what: string;
}

/** A version of what the shop states of itself, for the journal. */
export function statedWords({ subject, version, body }: StatedFigures): StatedWords {
  const [kind = '', first = '', second = ''] = subject.split(':');
  const did =
    typeof body === 'object' && body !== null && 'did' in body ? String(body.did) : `version ${version} stated`;
  const figures = (what: string, about = '', gun = ''): StatedWords => ({
    kind: 'figures',
    gun: gun === '' ? null : gun,
    subject: isPartId(about) ? about : 'figures',
    what,
  });
  switch (kind) {
    case 'item':
      return figures(`how it is kept, ${did}`, first);
    case 'losses':
      return figures(`of powder and rejects in ${first}, ${did}`, '', second);
    case 'rule':
      return { ...figures(did, second, first), subject: second };
    case 'calendar':
      return { ...figures(did), subject: '' };
    case 'service':
      return { ...figures(did, '', first), subject: '' };
    case 'job': {
      // As `analyzer/upkeep/loop-job.ts` makes it; a cause's colon and slash are dots there.
      const [gun = '_', cause = ''] = first.split('~');
      const about = cause.replace(/^sensor\.([^.]*)\./, 'sensor:$1/').replace(/^sensor\./, 'sensor:');
      return { kind: 'job', gun: gun === '_' ? null : gun, subject: about, what: `job ${did}` };
    }
    default:
      return figures(`of ${kind}, ${did}`);
  }
}
