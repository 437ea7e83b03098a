// While an address is being typed on the call's page, shows what is known of it. Without this script the button does the same.

const PAUSE_MS = 250;
const TOLD_BY = ["street", "town", "phone", "customer_name"];
const SIGNED_OUT = "You are signed out. Type on: it stays in this tab. Press Book the job, sign in, and it is here again.";
const form = document.querySelector("form[data-matches]");
const place = document.getElementById("matches");
const told = document.getElementById("matches-told"); // read aloud: the count, not the whole history
let timer = 0;
let asked = 0;

async function show() {
  const mine = ++asked;
  const typed = new FormData(form);
  const query = new URLSearchParams([...TOLD_BY, "site_id"].map((name) => [name, typed.get(name) ?? ""]));
  try {
    const answer = await fetch(`${form.dataset.matches}?${query}`, { headers: { Accept: "text/html" } });
    if (answer.redirected) told.textContent = SIGNED_OUT;
    told.classList.toggle("out-of-sight", !answer.redirected);
    if (!answer.ok || answer.redirected || mine !== asked) return;
    const html = await answer.text();
    if (mine !== asked || place.contains(document.activeElement)) return;
    place.innerHTML = html;
    told.textContent = place.querySelector("[data-told]")?.textContent ?? "";
  } catch {
    // No network: the page stays as it is, and the button says what is wrong.
  }
}

form.addEventListener("input", ({ target }) => {
  if (!TOLD_BY.includes(target.name)) return;
  clearTimeout(timer);
  timer = setTimeout(show, PAUSE_MS);
});
