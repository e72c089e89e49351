/** A line on the terminal for work that takes over a second; nothing where the output is no terminal. */
export class Progress {
  readonly #since = performance.now();
  #shown = false;
  #last = 0;

  /** Cheap: draws at most ten times a second. */
  say(text: string): void {
    const now = performance.now();
    if (!process.stderr.isTTY || now - this.#since < 1000 || now - this.#last < 100) return;
    this.#last = now;
    this.#shown = true;
    process.stderr.write(`\r\u001b[2K${text}`);
  }
  done(): void {
    if (this.#shown) process.stderr.write("\r\u001b[2K");
    this.#shown = false;
  }
}
