/** What a column of an export holds; times are epoch ms inside, UTC outside. */
export type ColumnKind = 'text' | 'number' | 'time' | 'boolean';

/** Null where there is nothing. */
export type TableCell = string | number | boolean | null;

export interface TableColumn {
  readonly name: string;
  readonly kind: ColumnKind;
}

/** Something that goes out as a table, in blocks so that a long one is never in memory whole. */
export interface ExportTable {
  readonly columns: readonly TableColumn[];
  /** Columns of equal length, in the order of `columns`. */
  readonly blocks: Iterable<readonly (readonly TableCell[])[]>;
}

/** Columns written as one text: `gun:text raised:time`. */
export function columnsOf(text: string): TableColumn[] {
  return text
    .trim()
    .split(/\s+/)
    .map((one) => {
      const [name = '', kind = 'text'] = one.split(':');
      return { name, kind: kind as ColumnKind };
    });
}

/** A table out of rows. @param columns as `columnsOf` takes them */
export function tableOfRows(columns: string, rows: readonly (readonly TableCell[])[]): ExportTable {
  const named = columnsOf(columns);
  return {
    columns: named,
    blocks: rows.length === 0 ? [] : [named.map((_, index) => rows.map((row) => row[index] ?? null))],
  };
}
