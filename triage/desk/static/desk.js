// What is nicer when live: words and working that light each other, the reading time, and quick keys.
// Every page works without it.
"use strict";

function lightTies() {
  const tied = document.querySelectorAll("[data-tie]");
  const byTie = new Map();
  for (const one of tied) {
    for (const tie of one.dataset.tie.split(" ").filter(Boolean)) {
      if (!byTie.has(tie)) byTie.set(tie, []);
      byTie.get(tie).push(one);
    }
  }
  const light = (one, on) => {
    for (const tie of one.dataset.tie.split(" ").filter(Boolean)) {
      for (const other of byTie.get(tie) || []) other.classList.toggle("lit", on);
    }
  };
  for (const one of tied) {
    one.addEventListener("mouseenter", () => light(one, true));
    one.addEventListener("mouseleave", () => light(one, false));
    one.addEventListener("focusin", () => light(one, true));
    one.addEventListener("focusout", () => light(one, false));
  }
}

// The same reckoning as triage/pace.py: words at the pace, a pause for each paragraph, marked gaps left out.
function readingSeconds(text, pace) {
  const said = text.replace(/\[(?:Presenter|Promise):[^\]]*\]/g, "");
  const paragraphs = said.split("\n\n").filter((part) => part.trim());
  const words = paragraphs.reduce(
    (sum, part) => sum + (part.replaceAll("-", " ").match(/[\p{L}\p{M}\p{N}_'’]+/gu) || []).length, 0);
  return words / pace * 60 + 1.2 * paragraphs.length;
}

function runTheClock() {
  const script = document.getElementById("script");
  const time = document.getElementById("time");
  if (!script || !time) return;
  const tell = () => {
    const seconds = Math.floor(readingSeconds(script.value, Number(time.dataset.pace)));
    time.textContent = `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
  };
  script.addEventListener("input", tell);
  tell();
}

function warnOfUnkept() {
  const forms = document.querySelectorAll("form[action$='/text'], form[action$='/read']");
  let touched = false;
  for (const form of forms) {
    form.addEventListener("input", () => { touched = true; });
  }
  document.addEventListener("submit", () => { touched = false; });
  addEventListener("beforeunload", (event) => { if (touched) event.preventDefault(); });
}

const KEPT = "quick-keys";

function areKeysOn() {
  try { return localStorage.getItem(KEPT) !== "off"; } catch { return true; }
}

function mindTheSwitch() {
  const box = document.getElementById("keys-on");
  if (!box) return;
  box.checked = areKeysOn();
  box.addEventListener("change", () => {
    try { localStorage.setItem(KEPT, box.checked ? "on" : "off"); } catch { /* nothing is kept in private windows */ }
  });
}

function goToCard(step) {
  const covers = [...document.querySelectorAll("[data-card] .cover")];
  if (!covers.length) return;
  const at = covers.indexOf(document.activeElement);
  const next = at < 0 ? (step > 0 ? 0 : covers.length - 1) : Math.min(Math.max(at + step, 0), covers.length - 1);
  covers[next].focus();
}

function focusOn(id) {
  const found = document.getElementById(id);
  if (!found) return false;
  found.focus();
  found.scrollIntoView({ block: "center" });
  return true;
}

function follow(id) {
  const link = document.getElementById(id);
  if (link) link.click();
}

const KEYS = {
  "/": () => focusOn("search") || location.assign("/wall"),
  j: () => goToCard(1),
  k: () => goToCard(-1),
  n: () => follow("to-next"),
  w: () => (document.getElementById("to-wall") ? follow("to-wall") : location.assign("/wall")),
  e: () => focusOn("script"),
  g: () => focusOn("sign-button") || focusOn("sign"),
};

function listenForKeys() {
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || !areKeysOn()) return;
    if (event.target.closest("input, select, textarea, [contenteditable]")) return;
    const act = KEYS[event.key];
    if (!act) return;
    event.preventDefault();
    act();
  });
}

lightTies();
runTheClock();
warnOfUnkept();
mindTheSwitch();
listenForKeys();
