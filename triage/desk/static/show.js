// The show on a tablet: keys that go on and back, how far the show is, and a clock that tells early from late.
// The page works without it: the list at the top and the links under each item lead the same way.
"use strict";

const EDGE = 4; // pixels by which a place may miss the top and still be there
const OVERLAP = 0.15; // of the screen that stays in sight when a long item goes on, so that no line is lost

function clock(seconds) {
  const whole = Math.floor(Math.abs(seconds));
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}

function run() {
  const bar = document.querySelector(".bar");
  const stops = [...document.querySelectorAll("[data-stop]")];
  if (!bar || !stops.length) return;
  bar.hidden = false;
  for (const keys of document.querySelectorAll(".keys")) keys.hidden = false;
  const calm = matchMedia("(prefers-reduced-motion: reduce)");
  const at = bar.querySelector(".now-at");
  const title = bar.querySelector(".now-title");
  const done = bar.querySelector("progress");
  const told = bar.querySelector(".watch-told");
  const button = bar.querySelector(".watch-start");
  let began = null;

  const under = () => bar.getBoundingClientRect().height;
  const top = (one) => one.getBoundingClientRect().top - under();
  // A key that comes while the page still glides goes on from where the page is going, not from where it is.
  let goal = null;
  const to = (place) => {
    const last = document.documentElement.scrollHeight - innerHeight;
    goal = Math.max(0, Math.min(place, last));
    scrollTo({ top: goal, behavior: calm.matches ? "auto" : "smooth" });
  };
  const from = () => (goal === null ? scrollY : goal);
  const placeOf = (one) => (one === stops[0] ? 0 : top(one) + scrollY - 12);
  addEventListener("scrollend", () => { goal = null; });
  addEventListener("wheel", () => { goal = null; }, { passive: true });
  addEventListener("touchstart", () => { goal = null; }, { passive: true });

  const current = () => {
    // The last stop may be too short to reach the top: at the page's end it is the one in hand.
    if (scrollY + innerHeight >= document.documentElement.scrollHeight - EDGE && scrollY > 0) return stops.length - 1;
    let found = 0;
    stops.forEach((one, place) => { if (top(one) <= innerHeight * 0.3) found = place; });
    return found;
  };
  const screen = () => (innerHeight - under()) * (1 - OVERLAP);
  const on = () => {
    const next = stops.map(placeOf).find((place) => place > from() + EDGE);
    to(next === undefined ? from() + screen() : Math.min(next, from() + screen()));
  };
  const back = () => {
    const before = stops.map(placeOf).filter((place) => place < from() - EDGE).pop();
    to(before === undefined ? 0 : Math.max(before, from() - screen()));
  };
  const item = (step) => {
    const places = stops.map(placeOf);
    const next = step > 0
      ? places.find((place) => place > from() + EDGE)
      : places.filter((place) => place < from() - EDGE).pop();
    if (next !== undefined) to(next);
  };

  const tell = () => {
    const place = current();
    const stop = stops[place];
    at.textContent = clock(Number(stop.dataset.starts));
    title.textContent = stop.dataset.title;
    done.value = Number(stop.dataset.starts);
    for (const link of document.querySelectorAll(".rundown a")) {
      if (link.hash === `#${stop.id}`) link.setAttribute("aria-current", "true");
      else link.removeAttribute("aria-current");
    }
  };
  const tick = () => {
    if (began === null) return;
    const spent = (Date.now() - began) / 1000;
    const place = current();
    const next = stops[place + 1];
    const ends = next ? Number(next.dataset.starts) : done.max;
    const late = spent - ends;
    told.textContent = late > 0 ? `${clock(spent)}, ${clock(late)} late` : clock(spent);
    told.classList.toggle("late", late > 0);
  };
  const start = () => {
    began = began === null ? Date.now() : null;
    button.textContent = began === null ? "Start the clock" : "Stop";
    told.textContent = "";
    told.classList.remove("late");
    tick();
  };
  button.addEventListener("click", start);
  setInterval(tick, 500);

  const KEYS = {
    j: on, ArrowDown: on, ArrowRight: on, PageDown: on, " ": on,
    k: back, ArrowUp: back, ArrowLeft: back, PageUp: back,
    n: () => item(1), p: () => item(-1), s: start,
  };
  addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    // Space on a button or a link is that button's or link's own.
    if (event.key === " " && event.target.closest("a, button")) return;
    const does = KEYS[event.key];
    if (!does) return;
    event.preventDefault();
    does();
  });
  let waiting = false;
  addEventListener("scroll", () => {
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(() => { waiting = false; tell(); });
  }, { passive: true });
  addEventListener("resize", tell);
  tell();
}

run();
