// Photos go one by one, so that each is told; and words follow a photo to another step.
// Without this file the forms are sent as they are.
"use strict";

async function sendOne(form, address, name, file) {
  const data = new FormData(form);
  data.delete(name);
  data.append(name, file, file.name);
  const answer = await fetch(address, { method: "POST", body: data, headers: { Accept: "application/json" } });
  const kind = answer.headers.get("Content-Type") || "";
  return kind.startsWith("application/json") ? answer.json() : null;
}

async function sendPhotos(form, files) {
  const told = form.querySelector("[data-progress]");
  let more = form.dataset.send;
  let next = location.href;
  told.hidden = false;
  for (const [place, file] of [...files].entries()) {
    told.textContent = `Looking at ${place + 1} of ${files.length}: ${file.name}`;
    const answer = await sendOne(form, more || form.action, "photos", file);
    if (!answer) return HTMLFormElement.prototype.submit.call(form);
    if (answer.more) more = answer.more;
    if (answer.more || !more) next = answer.next;
  }
  location.assign(next);
}

for (const form of document.querySelectorAll("form[data-send]")) {
  form.addEventListener("change", (event) => {
    if (event.target.type === "file" && event.target.files.length) {
      sendPhotos(form, event.target.files).catch(() => {
        form.querySelector("[data-progress]").textContent = "The connection broke off. Choose the photos again; what came in is kept for you.";
      });
    }
  });
}

const clip = document.querySelector("form[data-send-clip]");
if (clip) {
  clip.addEventListener("submit", () => {
    const told = clip.querySelector("[data-progress]");
    told.hidden = false;
    told.textContent = "The clip is on its way.";
  });
}

const told = document.getElementById("words");
if (told) {
  const words = JSON.parse(told.textContent);
  for (const select of document.querySelectorAll("section.photo select")) {
    let before = select.value;
    select.addEventListener("change", () => {
      for (const [language, shows] of Object.entries(words[select.value] || {})) {
        const field = document.getElementById(select.id.replace(/place$/, `shows_${language}`));
        if (field.value === ((words[before] || {})[language] || "")) field.value = shows;
      }
      before = select.value;
    });
  }
}
