import type { Readable } from 'node:stream';
import { AppError } from '../contract/index.ts';
import { headOfFile } from './head-of-file.ts';
import type { ImportDeskOptions } from './import-desk-options.ts';
import type { ImportMapping } from './import-mapping.ts';
import { type ImportRecord, ImportRecords, type ShownImport } from './import-record.ts';
import { type KeptMapping, KeptMappings } from './kept-mappings.ts';
import { type OfferedMapping, offerMapping, type StatedShape } from './offer-mapping.ts';
import { type ImportPreview, previewRows } from './preview-rows.ts';
import { type RunningImport, runImport } from './run-import.ts';
import { Uploads } from './uploads.ts';

/** Records that are kept. Source: own choice, because a list of imports is looked at from its top. */
const MOST_RECORDS = 50;

/**
 * Imports inside the running service: files arrive piece by piece, are looked at, and are imported one after the other by the code of
 * `driftline import`, in a thread of their own. What was interrupted by a restart goes on by itself.
 */
export class ImportDesk {
  readonly #options: ImportDeskOptions;
  readonly #records: ImportRecords;
  readonly #mappings: KeptMappings;
  readonly #uploads: Uploads;
  #running: RunningImport | null = null;
  #stopping = false;

  constructor(options: ImportDeskOptions) {
    this.#options = options;
    this.#records = new ImportRecords(options.store.states);
    this.#mappings = new KeptMappings(options.store.states);
    this.#uploads = new Uploads(options.dir);
  }

  /** Goes on with what a restart interrupted. */
  start(): void {
    this.#uploads.sweep(new Set(this.#records.list().map(({ id }) => id)));
    this.#next();
  }

  async stop(): Promise<void> {
    this.#stopping = true;
    await this.#running?.leave();
  }

  get maxPieceBytes(): number {
    return this.#options.maxPieceBytes;
  }

  list(): ShownImport[] {
    return this.#records.list().map((record) => this.#shown(record));
  }

  /** @throws {AppError} NOT_FOUND */
  get(id: string): ShownImport {
    return this.#shown(this.#record(id));
  }

  /**
   * Makes room for a file. The same file that somebody began to send goes on where that ended.
   *
   * @throws {AppError} BODY_TOO_LARGE, DISK_FULL
   */
  async begin(file: string, bytes: number, who: string): Promise<ShownImport> {
    const { maxFileBytes, now } = this.#options;
    if (bytes > maxFileBytes)
      throw new AppError(
        'BODY_TOO_LARGE',
        `${file} has ${bytes} bytes, and files may have ${maxFileBytes}: pack it (gzip), cut it, or use "driftline import"`,
      );
    const before = this.#records
      .list()
      .find((one) => one.stage === 'arriving' && one.file === file && one.bytes === bytes && one.who === who);
    if (before !== undefined) return this.#shown(before);
    await this.#uploads.checkRoom(bytes);
    const records = this.#records.list();
    const id = String(Math.max(0, ...records.map((one) => Number(one.id))) + 1);
    this.#uploads.create(id);
    const record: ImportRecord = {
      ...{
        id,
        file,
        bytes,
        who,
        begunAt: now(),
        stage: 'arriving',
        task: null,
        mapping: null,
        outcome: null,
        headings: null,
      },
      ...{ ranBy: who, fault: null },
    };
    this.#records.put(record);
    for (const old of records.slice(MOST_RECORDS - 1))
      if (old.stage !== 'running') {
        this.#uploads.delete(old.id);
        this.#records.delete(old.id);
      }
    return this.#shown(record);
  }

  /**
   * Takes the next bytes of a file.
   *
   * @param offset bytes that the sender takes to be here
   * @throws {AppError} NOT_FOUND; EDITED_MEANWHILE: other bytes are here; BODY_TOO_LARGE
   */
  async append(id: string, offset: number, from: Readable): Promise<ShownImport> {
    const record = this.#record(id);
    if (record.stage !== 'arriving') throw this.#uploads.misplaced(record, offset);
    await this.#uploads.append(record, offset, from, this.#options.maxPieceBytes);
    if (this.#uploads.size(id) === record.bytes) this.#records.put({ ...record, stage: 'ready' });
    return this.get(id);
  }

  /** What the file seems to be, and the mapping that was used for such a file before. @throws {AppError} NOT_FOUND, READINGS_UNUSABLE */
  async offer(
    id: string,
    stated: StatedShape = {},
  ): Promise<{ readonly offered: OfferedMapping; readonly kept: KeptMapping | null }> {
    const { file } = this.#arrived(id);
    const offered = offerMapping(await this.#head(id), file, this.#options.plant, stated);
    return { offered, kept: this.#mappings.get(offered) };
  }

  /** First rows and what they become. @throws {AppError} NOT_FOUND, READINGS_UNUSABLE, CONFIG_INVALID */
  async preview(id: string, mapping: ImportMapping | null, count: number): Promise<ImportPreview> {
    const { file: name } = this.#arrived(id);
    return previewRows(await this.#head(id), { name, plant: this.#options.plant, mapping, count });
  }

  /**
   * Has the file read to its end, or imported. Its mapping is kept for the next file with these headings.
   *
   * @throws {AppError} NOT_FOUND, READINGS_UNUSABLE; EDITED_MEANWHILE: it runs already, or is done
   */
  async run(id: string, task: 'dry-run' | 'import', mapping: ImportMapping | null, who: string): Promise<ShownImport> {
    const { file } = this.#arrived(id);
    const head = mapping === null ? null : await this.#head(id);
    const headings = head && mapping ? offerMapping(head, file, this.#options.plant, mapping).headings : null;
    this.#records.put({
      ...this.#arrived(id),
      ranBy: who,
      headings,
      stage: 'running',
      task,
      mapping,
      outcome: null,
      fault: null,
    });
    this.#next();
    return this.get(id);
  }

  /** Ends what runs; what is stored stays, and running it again goes on there. @throws {AppError} NOT_FOUND */
  cancel(id: string): ShownImport {
    const record = this.#record(id);
    if (record.stage === 'running') {
      if (this.#running?.id === id) this.#running.stop();
      else this.#settle(id, { stage: 'stopped' });
    }
    return this.get(id);
  }

  /** Forgets a file and its record; what was imported stays. @throws {AppError} NOT_FOUND; EDITED_MEANWHILE: it runs */
  delete(id: string): void {
    if (this.#record(id).stage === 'running')
      throw new AppError('EDITED_MEANWHILE', `${this.#record(id).file} is being read; cancel that first`);
    this.#uploads.delete(id);
    this.#records.delete(id);
  }

  #record(id: string): ImportRecord {
    const record = this.#records.get(id);
    if (record === null) throw new AppError('NOT_FOUND', `there is no import ${id}`);
    return record;
  }

  /** A record whose file is whole and at rest. */
  #arrived(id: string): ImportRecord {
    const record = this.#record(id);
    const { file, stage, bytes } = record;
    if (stage === 'arriving')
      throw new AppError('EDITED_MEANWHILE', `${file}: ${this.#uploads.size(id)} bytes of ${bytes} are here`);
    if (stage === 'running') throw new AppError('EDITED_MEANWHILE', `${file} is being read already`);
    if (stage === 'done') throw new AppError('EDITED_MEANWHILE', `${file} was imported, and is kept no more`);
    return record;
  }

  #head(id: string): Promise<Buffer> {
    return headOfFile({ path: this.#uploads.path(id), name: this.#record(id).file });
  }

  #shown({ headings: _, ranBy: __, ...record }: ImportRecord): ShownImport {
    const received = record.stage === 'arriving' ? this.#uploads.size(record.id) : record.bytes;
    return { ...record, received, step: this.#running?.id === record.id ? this.#running.step : null };
  }

  /** Starts the oldest that waits, when nothing runs. */
  #next(): void {
    if (this.#running !== null || this.#stopping) return;
    const record = this.#records
      .list()
      .reverse()
      .find(({ stage }) => stage === 'running');
    if (record === undefined) return;
    const { id, mapping, task } = record;
    const { dir, plant } = this.#options;
    const file = { path: this.#uploads.path(id), name: record.file };
    this.#running = runImport({ dir, plant, file, mapping, dryRun: task === 'dry-run' }, id, {
      stopped: () => this.#settle(id, { stage: 'stopped' }),
      refused: (fault) => this.#settle(id, { stage: 'refused', fault }),
      done: (outcome) => {
        this.#settle(id, { stage: task === 'import' ? 'done' : 'ready', outcome });
        this.#keepMapping(record);
      },
      ended: () => {
        this.#running = null;
        this.#next();
      },
    });
  }

  /** A mapping that has shown that it reads such a file is offered for the next one. */
  #keepMapping({ mapping, headings, file, ranBy: who }: ImportRecord): void {
    if (mapping !== null && headings !== null)
      this.#mappings.put(headings, { mapping, file, who, usedAt: this.#options.now() });
  }

  #settle(id: string, how: Partial<ImportRecord>): void {
    const record = this.#records.get(id);
    if (record === null || this.#stopping) return;
    this.#records.put({ ...record, ...how });
    if (how.stage === 'done') this.#uploads.delete(id);
  }
}
