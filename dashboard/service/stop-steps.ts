/** What has to be done when a service stops, or could not start: the last part first. */
export class StopSteps {
  readonly #steps: (() => Promise<void>)[] = [];
  #running: Promise<void> | null = null;

  add(step: () => Promise<void>): void {
    this.#steps.push(step);
  }

  /**
   * A part that fails does not keep the others from ending well. May be called twice.
   *
   * @throws the first fault, once all have been tried
   */
  run(): Promise<void> {
    this.#running ??= this.#runAll();
    return this.#running;
  }

  async #runAll(): Promise<void> {
    const faults: unknown[] = [];
    for (const step of this.#steps.toReversed()) {
      try {
        await step();
      } catch (fault) {
        faults.push(fault);
      }
    }
    if (faults.length > 0) throw faults[0];
  }
}
