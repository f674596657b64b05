import { type Contradiction, contradictions } from './contradictions.ts';
import { Settings } from './settings.ts';

/** What would have been right; whoever tells it says before what was found. */
function expectedOf(one: Contradiction): string {
  if (one.kind === 'twice')
    return `expected one value for the same gun, powder and part: overrides[${one.row}] says ${one.other}`;
  const bound =
    one.path.at(-1) === 'smallestChange'
      ? `no more than the changeLimitExcessAir of ${one.changeLimitExcessAir}`
      : `no less than the smallestChange of ${one.smallestChange}`;
  return `expected ${bound}: a part would have to go before its change is worth a visit`;
}

/** Settings as somebody states them: whatever contradicts itself is refused. Those that are on record are read as they are. */
export const StatedSettings = Settings.superRefine((settings, { addIssue }) => {
  for (const one of contradictions(settings))
    addIssue({ code: 'custom', path: [...one.path], message: expectedOf(one) });
});
