import { createReadStream } from 'node:fs';
import { basename } from 'node:path';
import { AppError } from '../../collector/contract/index.ts';
import { Uploads } from '../../collector/index.ts';
import type { StudyFiles } from '../server/index.ts';

/**
 * Study bundles on their way in and out of the service, as files in its data folder; those that a stop left behind are taken away.
 *
 * @param maxBytes longest bundle that is taken
 */
export function studyFolder(dir: string, maxBytes: number): StudyFiles {
  const uploads = new Uploads(dir, 'studies');
  uploads.sweep(new Set());
  let next = 1;
  const drop = (file: string): void => uploads.delete(basename(file));
  return {
    newFile: () => uploads.path(String(next++)),
    async take(name, from) {
      const id = String(next++);
      try {
        await uploads.checkRoom(0);
        await uploads.append(id, from, maxBytes);
      } catch (error) {
        uploads.delete(id);
        if (!(error instanceof AppError) || error.code !== 'BODY_TOO_LARGE') throw error;
        throw new AppError(
          'BODY_TOO_LARGE',
          `${name}: found more than ${maxBytes} bytes, expected a study bundle of no more (http.maxImportBytes); “driftline replay --bundle” opens it without the network`,
          { cause: error },
        );
      }
      return uploads.path(id);
    },
    open(file) {
      const bytes = createReadStream(file);
      bytes.once('close', () => drop(file));
      return bytes;
    },
    drop,
  };
}
