/** The job on screen: painted from the store, brought up to date behind it, and never set back. */
import type { Signal } from "@preact/signals-core";
import { CoreError, type JobView } from "../core_types";
import type { Context } from "./context";
import { aside } from "./log";
import type { JobRow } from "./schema";
import { isOfThisBuild, keepFolded, refreshJob, storedRow, viewOf } from "./views";

const ADVICE_LIMIT_MS = 2_500; // an answer is saved long before; the screen then goes on without advice

export class OpenView {
  /** the state that the screen shows: the job, and how many events had touched it */
  private shown = { job_id: "", touched: 0 };

  constructor(private readonly context: Context, private readonly view: Signal<JobView | null>) {}

  async openJob(jobId: string): Promise<JobView> {
    this.context.openJobId = jobId;
    this.shown = { job_id: "", touched: 0 };
    const row = await storedRow(this.context, jobId);
    const stored = await viewOf(this.context, row);
    const refreshed = this.refresh(jobId);
    if (!stored || !isOfThisBuild(row)) return refreshed.catch((error: unknown) => this.showOlder(row, stored, error));
    aside(this.context, refreshed, "refresh_failed");
    this.show(row, stored);
    return stored;
  }

  async refresh(jobId: string): Promise<JobView> {
    const fresh = await refreshJob(this.context, jobId);
    if (fresh) aside(this.context, fresh.kept, "view_not_kept"); // made again when next asked for
    const view = fresh && (await viewOf(this.context, fresh.row));
    if (!view) throw new CoreError("job_unknown", "This job is not on this phone.");
    this.show(fresh.row, view);
    return view;
  }

  /** The record is saved; advice may be late. The screen is never kept waiting for the engine. `ahead`: what was folded already. */
  async afterAct(jobId: string, ahead: Promise<JobRow | null>): Promise<JobView> {
    const { log, platform } = this.context;
    const refreshed = ahead.then((row) => (row ? this.showAhead(row) : this.refresh(jobId)))
      .catch((error: unknown) => void log.error("refresh_failed", error));
    let cancel = (): void => undefined;
    const late = new Promise<undefined>((resolve) => (cancel = platform.later(() => resolve(undefined), ADVICE_LIMIT_MS)));
    const view = await Promise.race([refreshed, late]);
    cancel();
    if (view) return view;
    const row = await storedRow(this.context, jobId);
    const stored = await viewOf(this.context, row);
    if (!stored) throw new CoreError("engine_lost", "Saved on this phone. The rules did not start; open the job again.");
    this.show(row, stored);
    return stored;
  }

  private async showAhead(row: JobRow): Promise<JobView | undefined> {
    aside(this.context, keepFolded(this.context, row), "view_not_kept");
    const view = await viewOf(this.context, row);
    if (view) this.show(row, view);
    return view ?? undefined;
  }

  /** The rules did not start: an older build's record is better than none. */
  private showOlder(row: JobRow, stored: JobView | null, error: unknown): JobView {
    this.context.log.error("refresh_failed", error);
    if (!stored) throw error;
    this.show(row, stored);
    return stored;
  }

  /** Never an older state over a newer one: a long refresh may end after the act that came meanwhile. */
  private show({ job_id, touched }: JobRow, view: JobView): void {
    if (this.context.openJobId !== job_id || (this.shown.job_id === job_id && touched < this.shown.touched)) return;
    this.shown = { job_id, touched };
    this.view.value = view;
  }
}
