/** Hands a CSV file to the browser as a download. */
export function saveText(content: string, fileName: string): void {
  const link = document.createElement('a');
  link.download = fileName;
  link.href = URL.createObjectURL(new Blob([content], { type: 'text/csv;charset=utf-8' }));
  link.click();
  URL.revokeObjectURL(link.href);
}
