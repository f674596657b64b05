import { useCallback, useEffect, useRef, useState } from 'preact/hooks';
import type { Site } from '../../server/endpoints/site.ts';
import { ApiFault, ask } from '../api.ts';
import { useAgain } from '../link/use-again.ts';
import { type Field, fieldsOf, type SettingsSchema } from './settings-model.ts';
import type { Version } from './versions.tsx';

export interface LoadedSettings {
  readonly site: Site;
  /** Newest first. */
  readonly versions: readonly Version[];
  readonly fields: readonly Field[];
  readonly powders: readonly string[];
}

/** How often a page looks whether somebody else adopted something, ms. Source: own choice, sooner than a reason is typed. */
const LOOK_MS = 10_000;

/** The versions of the settings, looked at again while the page is open. */
export function useVersions(): {
  readonly loaded: LoadedSettings | null;
  readonly fault: string | null;
  /** Loads them anew. */
  readonly load: () => Promise<LoadedSettings | null>;
} {
  const [loaded, setLoaded] = useState<LoadedSettings | null>(null);
  const [fault, setFault] = useState<string | null>(null);
  const newest = useRef(loaded);
  newest.current = loaded;
  const load = useCallback(async (): Promise<LoadedSettings | null> => {
    try {
      const versions = await ask<Version[]>('/api/settings');
      const known = newest.current;
      const isKnown = known !== null && known.versions.length === versions.length;
      setFault(null);
      if (isKnown) return known;
      const [site, schema, { powders }] = await Promise.all([
        ask<Site>('/api/site'),
        ask<SettingsSchema>('/api/settings/schema'),
        ask<{ powders: string[] }>('/api/settings/subjects'),
      ]);
      const next = { site, versions, fields: fieldsOf(schema), powders };
      setLoaded(next);
      return next;
    } catch (error) {
      if (!(error instanceof ApiFault)) throw error;
      setFault(error.message);
      return null;
    }
  }, []);
  useEffect(() => {
    void load();
    const timer = setInterval(() => {
      if (!document.hidden) void load();
    }, LOOK_MS);
    return () => clearInterval(timer);
  }, [load]);
  useAgain(fault, load);
  return { loaded, fault, load };
}
