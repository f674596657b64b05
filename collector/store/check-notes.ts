/** Where a check of the store writes down what it finds. */
export interface CheckNotes {
  /** What is wrong, a sentence. */
  fault(sentence: string): void;
  /** Something was written before there were checksums. */
  withoutChecksum(): void;
}
