/** Answers stay under the thumb while the rest scrolls, wherever the question and its caution are left in sight. */

const NEVER_COVERED = ".question-words, .question > .strip[data-kind=caution], .question > [data-start-timer]";

/** Measured on the page as it stands: any text size, any number of answers, any phone. First what can wait makes room
 * (`data-tight`, in the style sheet); where that is not enough the answers scroll along (`data-loose`). */
export function fitDock(root: HTMLElement): void {
  root.toggleAttribute("data-pad", root.querySelector(".pad") !== null); // for the style sheet: `:has()` took a third of an answer's time
  root.removeAttribute("data-tight");
  const dock = root.querySelector<HTMLElement>(".dock[data-stick]");
  if (!dock) return;
  dock.removeAttribute("data-loose"); // as the screen before left it: a loose dock is lower than one that sticks
  const foot = root.querySelector("footer")?.offsetHeight ?? 0;
  const last = [...root.querySelectorAll<HTMLElement>(NEVER_COVERED)].at(-1);
  const isCovered = (): boolean => last !== undefined && last.offsetTop + last.offsetHeight > innerHeight - foot - dock.offsetHeight;
  if (isCovered()) root.toggleAttribute("data-tight", true);
  dock.toggleAttribute("data-loose", isCovered());
  if (foot > 0) dock.style.bottom = `${foot}px`; // the queue line wraps with large text
}
