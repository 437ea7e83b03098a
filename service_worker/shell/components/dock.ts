/** Answers stay under the thumb while the rest scrolls, wherever the question and its caution are left in sight. */

/** Measured on the page as it stands: any text size, any number of answers, any phone. `data-loose` lets them scroll along. */
export function fitDock(root: HTMLElement): void {
  root.toggleAttribute("data-pad", root.querySelector(".pad") !== null); // for the style sheet: `:has()` took a third of an answer's time
  const dock = root.querySelector<HTMLElement>(".dock[data-stick]");
  const last = [...root.querySelectorAll<HTMLElement>(".question-words, .question > .strip[data-kind=caution]")].at(-1);
  if (!dock) return;
  const foot = root.querySelector("footer")?.offsetHeight ?? 0;
  const isLoose = last !== undefined && last.offsetTop + last.offsetHeight > innerHeight - foot - dock.offsetHeight;
  dock.toggleAttribute("data-loose", isLoose);
  if (foot > 0) dock.style.bottom = `${foot}px`; // the queue line wraps with large text
}
