// Keeps what is typed during a call in this tab, so that a lost sign-in or a reload costs nothing. Gone once it is booked, or with the tab.

const KEPT = "undercroft-call";
const form = document.querySelector("form[data-keep]");
const isMark = (one) => one.type === "radio" || one.type === "checkbox";
// Which address was chosen is asked anew: it depends on what is found for it.
const fields = () => [...form.elements].filter((one) => one.name && one.type !== "hidden" && one.type !== "submit" && one.name !== "site_id");

function kept() {
  try {
    return JSON.parse(sessionStorage.getItem(KEPT) ?? "null");
  } catch {
    return null; // no storage here: the page works without
  }
}

function keep() {
  const typed = Object.fromEntries(fields().filter((one) => !isMark(one)).map((one) => [one.name, one.value]));
  const marked = fields().filter((one) => isMark(one) && one.checked).map((one) => one.id);
  try {
    sessionStorage.setItem(KEPT, JSON.stringify({ person: form.dataset.keep, job: form.job_id.value, opened: opened(), typed, marked }));
  } catch {
    // no storage, or full: nothing is promised then
  }
}

const opened = () => new URLSearchParams(location.search).get("site") ?? "";

function forget() {
  try {
    sessionStorage.removeItem(KEPT);
  } catch {
    // nothing was kept
  }
}

function bringBack(call) {
  for (const one of fields()) {
    if (isMark(one)) one.checked = (call.marked ?? []).includes(one.id);
    else if (call.typed[one.name]) one.value = call.typed[one.name];
  }
  form.job_id.value = call.job; // sent once already, perhaps: it is booked once all the same
  document.getElementById("brought-back").hidden = false;
  document.getElementById("start-empty").addEventListener("click", forget);
  form.street.dispatchEvent(new Event("input", { bubbles: true }));
}

const call = kept();
if (!form) {
  if (call && location.pathname.endsWith(`/${call.job}`)) forget(); // it is booked
} else {
  if (call && call.person !== form.dataset.keep) forget();
  else if (call && "fresh" in form.dataset && call.opened === opened()) bringBack(call);
  form.addEventListener("input", keep);
}
