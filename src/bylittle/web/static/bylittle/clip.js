// Tap the steps while the clip plays: a button or the space bar. Without this file the seconds are typed.
"use strict";

const player = document.querySelector("[data-clip] video");
const fields = [...document.querySelectorAll("[data-tap]")];
const next = document.querySelector("[data-tap-next]");
const tapNow = document.querySelector("[data-tap-now]");
let place = Math.max(fields.findIndex((field) => !field.value), 0);

function name(number) {
  return fields[number].labels[0].textContent;
}

function show() {
  fields.forEach((field, number) => field.closest("li").classList.toggle("next", number === place));
  next.textContent = place < fields.length ? name(place) : "all steps have their second";
  tapNow.disabled = place >= fields.length;
}

function tap() {
  if (place >= fields.length) return;
  fields[place].value = player.currentTime.toFixed(1);
  place += 1;
  show();
}

if (player) {
  for (const each of document.querySelectorAll("[data-clip] .scripted")) each.hidden = false;
  tapNow.addEventListener("click", tap);
  document.querySelector("[data-tap-back]").addEventListener("click", () => {
    place = Math.max(place - 1, 0);
    fields[place].value = "";
    show();
  });
  document.addEventListener("keydown", (event) => {
    if (event.key !== " " || event.target.closest("button, input, a, summary")) return;
    event.preventDefault();
    tap();
  });
  fields.forEach((field, number) => field.addEventListener("focus", () => { place = number; show(); }));
  const unplayable = () => { document.querySelector("[data-unplayable]").hidden = false; };
  player.addEventListener("error", unplayable);
  if (player.error) unplayable();
  show();
}
