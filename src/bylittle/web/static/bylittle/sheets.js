// Drop photographs on the page, and see how far their reading is; without this file the form is sent as it is.
"use strict";

const form = document.querySelector("form[data-drop]");
const told = document.querySelector("[data-progress]");

async function send(files) {
  const list = [...files];
  let last = null;
  for (const [place, file] of list.entries()) {
    told.hidden = false;
    told.textContent = `Reading ${place + 1} of ${list.length}: ${file.name}`;
    const data = new FormData(form);
    data.delete("photos");
    data.append("photos", file, file.name);
    last = await fetch(form.action || location.href, { method: "POST", body: data });
  }
  location.href = last && list.length === 1 ? last.url : location.pathname;
}

if (form) {
  form.addEventListener("submit", (event) => {
    const files = form.querySelector("input[type=file]").files;
    if (!files.length) return;
    event.preventDefault();
    send(files);
  });
  document.addEventListener("dragover", (event) => event.preventDefault());
  document.addEventListener("drop", (event) => {
    event.preventDefault();
    if (event.dataTransfer.files.length) send(event.dataTransfer.files);
  });
}
