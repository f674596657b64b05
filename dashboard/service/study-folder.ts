import { createReadStream } from 'node:fs';
import { basename } from 'node:path';
import { AppError } from '../../collector/contract/index.ts';
import { type Arriving, Uploads } from '../../collector/index.ts';
import type { ArrivingBundle, StudyFiles } from '../server/index.ts';

/** Bundles that may be on their way at once; the one that was begun first gives way. Source: own choice, as many as studies may wait. */
const MOST_ARRIVING = 8;

interface Begun extends Arriving {
  readonly who: string;
}

/**
 * Study bundles on their way in and out of the service, as files in its data folder; those that a stop left behind are taken away.
 *
 * @param maxBytes longest bundle that is taken
 * @param maxPieceBytes longest piece of it that one request may bring
 */
export function studyFolder(dir: string, maxBytes: number, maxPieceBytes: number): StudyFiles {
  const uploads = new Uploads(dir, 'studies');
  uploads.sweep(new Set());
  const arriving = new Map<string, Begun>();
  let next = 1;
  const shown = ({ id, file, bytes }: Begun): ArrivingBundle => ({ id, file, bytes, received: uploads.size(id) });
  const known = (id: string): Begun => {
    const begun = arriving.get(id);
    if (begun === undefined)
      throw new AppError('NOT_FOUND', `there is no study bundle ${id} on its way; begin to send it anew`);
    return begun;
  };
  const forget = (id: string): void => {
    uploads.delete(known(id).id);
    arriving.delete(id);
  };
  const drop = (file: string): void => uploads.delete(basename(file));
  return {
    maxPieceBytes,
    async begin(file, bytes, who) {
      if (bytes > maxBytes)
        throw new AppError(
          'BODY_TOO_LARGE',
          `${file}: found ${bytes} bytes, expected a study bundle of no more than ${maxBytes} (http.maxImportBytes); “driftline replay --bundle” opens it without the network`,
        );
      const before = [...arriving.values()].find((one) => one.file === file && one.bytes === bytes && one.who === who);
      if (before !== undefined) return shown(before);
      await uploads.checkRoom(bytes);
      const [first] = arriving.keys();
      if (first !== undefined && arriving.size >= MOST_ARRIVING) forget(first);
      const begun = { id: String(next++), file, bytes, who };
      uploads.create(begun.id);
      arriving.set(begun.id, begun);
      return shown(begun);
    },
    async append(id, offset, from) {
      const begun = known(id);
      await uploads.append(begun, offset, from, maxPieceBytes);
      return shown(begun);
    },
    forget,
    take(id) {
      const { file, bytes } = known(id);
      const received = uploads.size(id);
      if (received < bytes) throw new AppError('EDITED_MEANWHILE', `${file}: ${received} bytes of ${bytes} are here`);
      arriving.delete(id);
      return { name: file, file: uploads.path(id) };
    },
    newFile: () => uploads.path(String(next++)),
    open(file) {
      const bytes = createReadStream(file);
      bytes.once('close', () => drop(file));
      return bytes;
    },
    drop,
  };
}
