/** The second tap of a double tap, on a screen that was drawn between the two, was meant for the one before: nobody has seen this one. */

/** What platforms take for one double tap; common practice, no source. */
const DOUBLE_TAP_MS = 400;

/** Fingers only: a mouse does not bounce. What it hands back is called when another screen stands there. */
export function guardDoubleTaps(): () => void {
  let [finger, tappedMs, drawn] = [false, -Infinity, false];
  document.addEventListener("pointerdown", ({ pointerType }) => void (finger = pointerType !== "mouse"), true);
  document.addEventListener("click", (event) => {
    if (finger && drawn && event.timeStamp - tappedMs < DOUBLE_TAP_MS) {
      event.preventDefault();
      event.stopImmediatePropagation();
      return;
    }
    [tappedMs, drawn] = [finger ? event.timeStamp : -Infinity, false];
  }, true);
  return () => void (drawn = true);
}
