// Brings the list of jobs up to date once a minute, while somebody can see it. Whoever is on a link or a button of it stays there. Without this
// script the page says as of when it is.

const EVERY_MS = 60_000;
const place = document.getElementById("refreshed");
const told = document.getElementById("refresh-told"); // read aloud, and only when it changes
let last = place.dataset.told;

const keyOf = (one) => (place.contains(one) ? one.id || one.getAttribute("href") : null);
const unfolded = () => [...place.querySelectorAll("details[open][id]")].map((one) => one.id);

async function refresh() {
  if (document.hidden || place.contains(document.getSelection()?.anchorNode) && !document.getSelection().isCollapsed) return;
  let answer;
  try {
    answer = await fetch(location.href, { headers: { Accept: "text/html" } });
  } catch {
    return; // no network: the page goes on saying as of when it is
  }
  if (!answer.ok || answer.redirected) return;
  const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
  const news = fresh.getElementById("refreshed");
  if (!news) return;
  const focused = keyOf(document.activeElement);
  const open = unfolded();
  place.replaceChildren(...news.childNodes);
  document.title = fresh.title;
  for (const id of open) document.getElementById(id)?.setAttribute("open", "");
  if (focused) [...place.querySelectorAll("a, button")].find((one) => keyOf(one) === focused)?.focus({ preventScroll: true });
  if (news.dataset.told !== last) told.textContent = last = news.dataset.told;
}

setInterval(refresh, EVERY_MS);
document.addEventListener("visibilitychange", refresh);
