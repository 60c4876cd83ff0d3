// The search of the archive, over the list in answers.js. Without it the answers stand by date and by topic.
"use strict";

const MOST = 50;

function plain(text) {
  return text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();
}

function wordsOf(text) {
  return plain(text).match(/[\p{L}\p{N}]+/gu) || [];
}

const PREPARED = ANSWERS.map((answer) => ({
  answer,
  title: wordsOf(answer.title),
  all: wordsOf([answer.title, answer.headline, answer.verdict, answer.when, answer.words].join(" ")),
}));

// Each sought word must begin a word of the answer; one in the title counts for more.
function find(sought) {
  const words = wordsOf(sought);
  if (!words.length) return [];
  const found = [];
  for (const one of PREPARED) {
    if (!words.every((word) => one.all.some((other) => other.startsWith(word)))) continue;
    const inTitle = words.filter((word) => one.title.some((other) => other.startsWith(word))).length;
    found.push({ answer: one.answer, inTitle });
  }
  return found.sort((one, other) => other.inTitle - one.inTitle).map((one) => one.answer);
}

function row(answer) {
  const item = document.createElement("li");
  const link = document.createElement("a");
  link.href = answer.page;
  link.textContent = answer.title;
  const facts = document.createElement("span");
  facts.className = "facts";
  facts.textContent = [answer.when, answer.verdict].filter(Boolean).join(" · ");
  const headline = document.createElement("p");
  headline.textContent = answer.headline;
  item.append(link, " ", facts, headline);
  return item;
}

function run() {
  const form = document.querySelector(".search");
  const input = document.getElementById("sought");
  const told = document.getElementById("told");
  const list = document.getElementById("found");
  if (!form || !ANSWERS.length) return;
  form.hidden = false;
  const tell = () => {
    const found = find(input.value);
    list.replaceChildren(...found.slice(0, MOST).map(row));
    if (!input.value.trim()) told.textContent = "";
    else if (!found.length) told.textContent = "No answer has all of these words.";
    else if (found.length > MOST) told.textContent = `${found.length} answers, the first ${MOST} of them here.`;
    else told.textContent = found.length === 1 ? "1 answer" : `${found.length} answers`;
  };
  form.addEventListener("submit", (event) => event.preventDefault());
  input.addEventListener("input", tell);
  tell();
}

run();
