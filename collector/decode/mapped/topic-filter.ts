/**
 * Whether an MQTT topic filter matches a topic name (MQTT 3.1.1 section 4.7).
 *
 * @example
 * matchesFilter('gateway/+/ports/#', 'gateway/a/ports/1'); // true
 * matchesFilter('gateway/+/ports/#', 'gateway/a/ports'); // true
 * matchesFilter('#', '$SYS/uptime'); // false
 */
export function matchesFilter(filter: string, topic: string): boolean {
  const wanted = filter.split('/');
  const levels = topic.split('/');
  if (levels[0]!.startsWith('$') && (wanted[0] === '#' || wanted[0] === '+')) return false;
  for (const [index, part] of wanted.entries()) {
    if (part === '#') return true;
    if (index >= levels.length || (part !== '+' && part !== levels[index])) return false;
  }
  return wanted.length === levels.length;
}

/** What is wrong with a topic filter; null when nothing is. */
export function filterFault(filter: string): string | null {
  if (filter === '' || filter.length > 300 || /\p{Cc}|\p{Cs}/u.test(filter))
    return '1 to 300 characters, none of them control';
  if (filter.startsWith('$')) return 'topics of plants, not the broker’s own with "$" in front';
  const levels = filter.split('/');
  const wild = levels.every(
    (level, index) => !/[+#]/.test(level) || level === '+' || (level === '#' && index === levels.length - 1),
  );
  return wild ? null : '"+" as a whole level and "#" as the whole last level';
}
