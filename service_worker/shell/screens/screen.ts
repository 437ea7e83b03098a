/** What every screen is given, and what it gives back. */
import type { Signal } from "@preact/signals-core";
import type { TemplateResult } from "lit-html";
import type { Core, Draft, JobView, Photo } from "../core_types";
import type { Route } from "../router";

/** A screen: `key` names the thing asked, so that a new question on the same address gets the focus too. */
export interface Screen {
  title: string;
  key: string;
  body: TemplateResult;
  /** where Back leads first, on a screen within a screen */
  back?(): void;
}

/** What the last act left to say. */
export interface SavedNote {
  job: string;
  at: string;
  words: string;
}

/** A value of a screen; what is typed has its first value beside it, and what follows when it comes back after a new start. */
export type Local = Signal<unknown> & { first?: unknown; cameBack?: (() => void) | undefined };
export type Locals = Map<string, Local>;

/** The stage that screens play on. */
export interface Stage {
  core: Core;
  route: Route;
  go(href: string): void;
  /** A value that lives as long as this screen's question does. */
  local<T>(name: string, first: T): Signal<T>;
  /** The same for what is typed: kept until it is saved, over a new start of the page too (unsaved.ts). As JSON; of another shape, it needs another name. */
  typed<T>(name: string, first: T, cameBack?: () => void): Signal<T>;
  /** What stands half filled in on this screen is thrown away. */
  forget(): void;
  /** Saves; on `complete` the word "saved" is said. False when it was not saved: the fault is on the screen. */
  act(view: JobView, drafts: Draft[], words: string, photo?: Photo): Promise<boolean>;
  /** `words`: what is taken back */
  undo(view: JobView, words: string): Promise<void>;
  /** What is to be saved where one goes from this question without an answer, or puts the phone away. */
  onLeave(save: () => Promise<void>): void;
  /** Runs anything that may fail; the fault is shown on the screen. */
  attempt(work: () => Promise<void>): Promise<boolean>;
  busy: Signal<boolean>;
  fault: Signal<string | null>;
  saved: Signal<SavedNote | null>;
  /** Jobs of which the technician said "I never left", until the shell is started again. */
  stayed: Signal<ReadonlySet<string>>;
}
