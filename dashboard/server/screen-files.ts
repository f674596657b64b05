/** What the build says of its files, by source or name. Source: https://vite.dev/guide/backend-integration, of which this is what we read. */
export type BuildManifest = Readonly<
  Record<
    string,
    { readonly file: string; readonly imports?: readonly string[]; readonly css?: readonly string[] } | undefined
  >
>;

/** The page itself, as the manifest names it: its own files stand in its HTML. */
const PAGE = 'index.html';

/**
 * Files of a screen's own with all that they import, as a header `Link` (RFC 8288), so that a browser fetches them beside the script that would
 * ask for them; empty where the screen comes with the page.
 *
 * @param path of the screen, e.g. `/history`
 */
export function screenFiles(path: string, manifest: BuildManifest): string {
  const screen = Object.keys(manifest).find((name) => name.endsWith(`${path}-screen.tsx`));
  if (screen === undefined) return '';
  const withPage = importedBy(PAGE, manifest, new Set());
  const own = [...importedBy(screen, manifest, new Set())].filter((name) => !withPage.has(name));
  return own
    .flatMap((name) => {
      const { file, css = [] } = manifest[name]!;
      return [`</${file}>; rel="modulepreload"`, ...css.map((one) => `</${one}>; rel="preload"; as="style"`)];
    })
    .join(', ');
}

/** A file's name and those of all that it imports. */
function importedBy(name: string, manifest: BuildManifest, found: Set<string>): Set<string> {
  const entry = manifest[name];
  if (entry === undefined || found.has(name)) return found;
  found.add(name);
  for (const one of entry.imports ?? []) importedBy(one, manifest, found);
  return found;
}
