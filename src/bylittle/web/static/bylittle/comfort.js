// Comforts only: every page works without this file.
"use strict";

// A number key marks the help level of the step in focus, S a stop; then the next step is in focus.
document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || /^(text|number|date|textarea|select-one)$/.test(event.target.type || "")) return;
  const rows = [...document.querySelectorAll("[data-mark-row]")];
  if (!rows.length) return;
  const held = event.target.closest("[data-mark-row]") || rows.find((row) => !row.querySelector(":checked"));
  const choice = held && held.querySelector(`input[data-key="${event.key.toLowerCase()}"]`);
  if (!choice) return;
  event.preventDefault();
  choice.checked = true;
  choice.dispatchEvent(new Event("change", { bubbles: true }));
  const next = rows[rows.indexOf(held) + 1];
  const target = next ? next.querySelector("input") : document.querySelector("[data-save]");
  if (target) target.focus();
});

// Leaving a half-filled form is asked once.
let touched = false;
document.addEventListener("input", (event) => { if (event.target.closest("form[data-keep]")) touched = true; });
document.addEventListener("submit", () => { touched = false; });
window.addEventListener("beforeunload", (event) => { if (touched) event.preventDefault(); });

// "Print" opens the printer where there is a script.
document.addEventListener("click", (event) => { if (event.target.closest("[data-print]")) window.print(); });
