/** What the parts of the core share. */
import type { Procedure } from "../core_types";
import type { Database } from "./db";
import type { Engine } from "./engine";
import type { Log } from "./log";
import type { Platform } from "./platform";

export interface Context {
  db: Database;
  engine: Engine;
  platform: Platform;
  log: Log;
  /** the job on screen: it stays on this phone even if it goes to somebody else meanwhile */
  openJobId: string | null;
  /** procedures once read: they never change under their hash */
  procedures: Map<string, Procedure>;
  /** names of colleagues, once read; forgotten with each new manifest */
  people: { [id: string]: string } | null;
}
