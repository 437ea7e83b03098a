// Gives the targets that are smaller than so many px both ways around their middle, whatever draws them: the thing itself, what
// it holds, or its label. Links inside a sentence are exempt (WCAG 2.2, 2.5.5 and 2.5.8).
(px) => {
  const ENOUGH_PX = px - 0.5; // less what rounding takes
  const REACH_PX = px / 2 - 1;
  const isLarge = (box) => box.width >= ENOUGH_PX && box.height >= ENOUGH_PX;
  const inSentence = (e) => e.tagName === "A" && getComputedStyle(e).display === "inline";
  const hits = (e, x, y) => {
    const hit = document.elementFromPoint(x, y);
    return hit !== null && (e.contains(hit) || hit.closest("label")?.control === e);
  };
  const isSmall = (e) => {
    e.scrollIntoView({ block: "center" });
    const box = e.getBoundingClientRect();
    const hidden = box.width <= 1; // for readers of the page aloud
    if (hidden || isLarge(box) || [...(e.labels ?? [])].some((label) => isLarge(label.getBoundingClientRect()))) return false;
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    const tall = box.height >= ENOUGH_PX || (hits(e, x, y - REACH_PX) && hits(e, x, y + REACH_PX));
    const wide = box.width >= ENOUGH_PX || (hits(e, x - REACH_PX, y) && hits(e, x + REACH_PX, y));
    return !(tall && wide);
  };
  const words = (e) => `${e.outerHTML.slice(0, 90)} ${Math.round(e.offsetWidth)}x${Math.round(e.offsetHeight)}`;
  return [...document.querySelectorAll("button, input:not([type=hidden]), select, textarea, summary, a")]
    .filter((e) => e.checkVisibility() && !inSentence(e) && isSmall(e))
    .map(words);
}
