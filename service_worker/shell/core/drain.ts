/** When to try the network: at once when there is hope, else after a jittered wait that grows. One tab at a time. */
import type { Platform } from "./platform";

const FIRST_WAIT_MS = 2_000;
const LONGEST_WAIT_MS = 5 * 60_000;
const QUIET_WAIT_MS = 60_000;
const NUDGE_MS = 400;
const LOCK = "undercroft-sync";

export type Outcome = { failed: boolean; retryAfterMs: number };

export class Drain {
  private failures = 0;
  private cancel: (() => void) | null = null;
  private running: Promise<void> | null = null;
  private again = false;
  private stopped = false;

  /** `work` never throws: a run that did would be the last. */
  constructor(private readonly platform: Platform, private readonly work: () => Promise<Outcome>) {}

  /** Runs now, or once more right after the run that is under way. Resolves when that run has ended. */
  async kick(): Promise<void> {
    if (this.stopped) return;
    this.cancel?.();
    if (this.running) {
      this.again = true;
      return this.running;
    }
    this.running = this.runAll();
    return this.running;
  }

  /** Something new waits: send it soon, off the path of the tap. While the network fails, the timer knows better. */
  nudge(): void {
    if (this.stopped || this.failures > 0 || this.running) return void (this.again = this.running !== null);
    this.cancel?.();
    this.cancel = this.platform.later(() => void this.kick(), NUDGE_MS);
  }

  /** Hope has come back (`online`, the screen): forget the long wait. */
  hope(): void {
    this.failures = 0;
    void this.kick();
  }

  stop(): void {
    this.stopped = true;
    this.cancel?.();
  }

  private async runAll(): Promise<void> {
    let outcome: Outcome = { failed: false, retryAfterMs: 0 };
    do {
      this.again = false;
      // A browser may refuse the lock (a page on its way out): a queue that has stopped for ever would be the worse fault.
      await this.platform.alone(LOCK, async () => void (outcome = await this.work())).catch(() => (outcome = { failed: true, retryAfterMs: 0 }));
    } while (this.again && !outcome.failed && !this.stopped);
    // In the same breath as the last look at `again`: a kick in between would be lost.
    this.running = null;
    this.failures = outcome.failed ? this.failures + 1 : 0;
    if (!this.stopped) this.cancel = this.platform.later(() => void this.kick(), Math.max(outcome.retryAfterMs, this.waitMs()));
  }

  /** Full jitter: phones that lost the same server do not come back in step. */
  private waitMs(): number {
    if (this.failures === 0) return QUIET_WAIT_MS * (0.75 + this.platform.random() / 2);
    return FIRST_WAIT_MS + this.platform.random() * Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** this.failures);
  }
}
