// Asks every half minute who is overdue below, on every page of the office, also one that lies open behind another. Where it cannot
// know, it says so: an empty place must mean that nobody is overdue.

const EVERY_MS = 30_000;
const place = document.getElementById("overdue");
let heardAt = new Date();
let shown = place?.querySelector("[data-who]")?.dataset.who ?? "";

const hour = (moment) => moment.toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hourCycle: "h23" });

function title(count) {
  const words = document.title.replace(/^\d+ overdue: /, "");
  document.title = count ? `${count} overdue: ${words}` : words;
}

/** Beside what was known last: it may still be so. */
function doubt(words, link = "") {
  if (!place.querySelector(".overdue-doubt")) place.append(Object.assign(document.createElement("p"), { className: "overdue-doubt" }));
  const line = place.querySelector(".overdue-doubt");
  if (line.dataset.words === words) return; // said once, not every half minute
  line.dataset.words = line.textContent = words;
  if (link) line.append(Object.assign(document.createElement("a"), { href: link, target: "_blank", rel: "noopener", textContent: "Sign in (new tab)" }));
}

async function ask() {
  try {
    const answer = await fetch(place.dataset.ask, { headers: { Accept: "text/html" }, redirect: "manual" });
    if (answer.type === "opaqueredirect" || answer.status === 401) {
      return doubt("You are signed out: this page does not hear any more who is overdue below. What you typed here stays. ", place.dataset.signIn);
    }
    if (!answer.ok) throw new Error(answer.statusText);
    const news = new DOMParser().parseFromString(await answer.text(), "text/html");
    const list = news.querySelector("[data-who]");
    heardAt = new Date();
    title(Number(list?.dataset.count ?? 0));
    place.querySelector(".overdue-doubt")?.remove();
    if (place.contains(document.activeElement) && (list?.dataset.who ?? "") === shown) return; // a finger is on the number
    shown = list?.dataset.who ?? "";
    place.replaceChildren(...news.body.childNodes);
  } catch {
    doubt(`Not heard from the server since ${hour(heardAt)} by this device's clock: who is overdue below since then is not known here.`);
  }
}

if (place) {
  setInterval(ask, EVERY_MS);
  document.addEventListener("visibilitychange", () => document.hidden || ask());
  window.addEventListener("pageshow", (event) => event.persisted && ask()); // the Back button shows an old page
}

// The rest of the menu folds away again with Escape, or when the keyboard or a finger goes elsewhere.
const more = document.querySelector(".office-more");
more?.addEventListener("keydown", ({ key }) => {
  if (key !== "Escape" || !more.open) return;
  more.open = false;
  more.querySelector("summary").focus();
});
document.addEventListener("click", ({ target }) => more?.contains(target) || more?.removeAttribute("open"));
more?.addEventListener("focusout", ({ relatedTarget }) => {
  if (relatedTarget && !more.contains(relatedTarget)) more.open = false;
});
