/** Name of each column of a table's body as its head shows it; a cell that reaches over several columns counts as so many. */
function namesOf(table: HTMLTableElement): string[] {
  const head = table.tHead?.rows[table.tHead.rows.length - 1];
  return [...(head?.cells ?? [])].flatMap((cell) =>
    Array<string>(cell.colSpan).fill(cell.querySelector('.unseen') ? '' : cell.textContent.trim()),
  );
}

/** Writes beside each cell what its column is called, so that a phone, which shows rows as stacks, can name them. */
function nameCells(room: HTMLElement): void {
  for (const table of room.querySelectorAll('table')) {
    const names = namesOf(table);
    for (const row of [...table.tBodies, ...(table.tFoot ? [table.tFoot] : [])].flatMap((part) => [...part.rows])) {
      let column = 0;
      for (const cell of row.cells) {
        const name = names[column] ?? '';
        if (cell.tagName === 'TD' && name !== '' && cell.dataset.column !== name) cell.dataset.column = name;
        column += cell.colSpan;
      }
    }
  }
}

/** Keeps cells named while the page's content comes and changes; returns how to stop. */
export function keepCellsNamed(room: HTMLElement): () => void {
  nameCells(room);
  const watch = new MutationObserver(() => nameCells(room));
  watch.observe(room, { childList: true, subtree: true });
  return () => watch.disconnect();
}
