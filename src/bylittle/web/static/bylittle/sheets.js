// Drop photographs and see how far their reading is; tap a ring to put a mark right. Without this file the
// forms are sent as they are, and the lists do the same.
"use strict";

const sending = document.querySelector("form[data-drop]");

async function sendOne(file) {
  const data = new FormData();
  data.append("csrfmiddlewaretoken", sending.querySelector("[name=csrfmiddlewaretoken]").value);
  data.append("photos", file, file.name);
  const answer = await fetch(location.href, { method: "POST", body: data, headers: { Accept: "application/json" } });
  const kind = answer.headers.get("Content-Type") || "";
  if (!answer.ok || !kind.startsWith("application/json")) throw new Error(String(answer.status));
  return answer.json();
}

async function send(files) {
  const list = [...files];
  const box = sending.querySelector("[data-progress]");
  const bar = box.querySelector("progress");
  const fresh = [];
  const again = [];
  let next = "";
  let lost = 0;
  const buttons = sending.querySelectorAll("button, input[type=file]");
  for (const each of buttons) each.disabled = true;
  box.hidden = false;
  bar.max = list.length;
  for (const [place, file] of list.entries()) {
    box.querySelector("p").textContent = `Reading ${place + 1} of ${list.length}: ${file.name}`;
    try {
      const told = await sendOne(file);
      fresh.push(...told.new);
      again.push(...told.again);
      next = told.next;
    } catch {
      lost += 1;
      const line = document.createElement("li");
      line.textContent = `${file.name} did not arrive. Please send it again; nothing else is lost.`;
      box.querySelector("ul").append(line);
    }
    bar.value = place + 1;
  }
  box.querySelector("p").textContent = `${list.length - lost} of ${list.length} looked at.`;
  for (const each of buttons) each.disabled = false;
  if (!fresh.length && !again.length) return;
  const address = new URL(location.href);
  if (fresh.length) address.searchParams.set("new", fresh.join("."));
  if (again.length) address.searchParams.set("again", again.join("."));
  if (lost) {
    const link = document.createElement("a");
    link.href = address.href;
    link.textContent = "See what came of the others";
    box.append(link);
  } else location.assign(list.length === 1 ? next : address.href);
}

if (sending) {
  for (const each of document.querySelectorAll(".scripted")) each.hidden = false;
  sending.addEventListener("submit", (event) => {
    const files = [...sending.querySelectorAll("input[type=file]")].flatMap((input) => [...input.files]);
    if (!files.length) return;
    event.preventDefault();
    send(files);
  });
  sending.querySelector("[capture]").addEventListener("change", (event) => {
    if (event.target.files.length) send(event.target.files);
  });
  document.addEventListener("dragover", (event) => { event.preventDefault(); document.body.classList.add("dragged"); });
  document.addEventListener("dragleave", (event) => { if (!event.relatedTarget) document.body.classList.remove("dragged"); });
  document.addEventListener("drop", (event) => {
    event.preventDefault();
    document.body.classList.remove("dragged");
    if (event.dataTransfer.files.length) send(event.dataTransfer.files);
  });
}

const sheet = document.querySelector("form[data-sheet]");

// The value of a row: "" while it is open, "blank", or the id of the bubble.
function control(row) {
  return sheet.querySelector(`[data-select="${row}"]`) || sheet.querySelector(`[data-mark-row="${row}"]`);
}

function valueOf(held) {
  if (held.matches("select")) return held.value;
  const chosen = held.querySelector(":checked");
  return chosen ? chosen.value : "";
}

function signOf(spot, value, read) {
  const seen = spot.dataset.ink !== "blank";
  if (!value) return seen ? "doubt" : "none";
  if (value !== spot.dataset.value) return seen ? "struck" : "none";
  return value === read ? "read" : "said";
}

function draw(row) {
  const held = control(row);
  if (!held) return;
  const value = valueOf(held);
  const read = held.dataset.read || "";
  for (const spot of sheet.querySelectorAll(`.spot[data-row="${row}"]`)) {
    spot.setAttribute("href", `#sign-${signOf(spot, value, read)}`);
  }
  if (held.matches("select")) held.closest(".read").classList.toggle("hand", value !== read);
  const folded = held.closest("details");
  if (folded) folded.open = true;
}

function put(row, value) {
  const held = control(row);
  const wanted = valueOf(held) === value ? "blank" : value;
  if (held.matches("select")) held.value = wanted;
  else for (const input of held.querySelectorAll("input")) input.checked = input.value === wanted;
  held.dispatchEvent(new Event("change", { bubbles: true }));
  held.dispatchEvent(new Event("input", { bubbles: true }));
}

function answered(held) {
  const words = held.querySelector("textarea");
  return held.querySelector(":checked") || (words && words.value.trim());
}

function tell(held) {
  const open = [...sheet.querySelectorAll("[data-mark-row]")].filter((each) => !answered(each)).length;
  const chosen = held.querySelector(":checked");
  const title = held.querySelector("legend").firstChild.textContent.trim();
  const typed = held.querySelector("textarea");
  const word = typed && typed.value.trim() ? "written down" : chosen ? chosen.closest("label").querySelector("span").lastChild.textContent.trim() : "";
  const rest = open ? `${open} still to settle.` : "All settled. Enter puts it into the record.";
  sheet.querySelector("[data-left]").textContent = `${title}: ${word}. ${rest}`;
}

if (sheet) {
  sheet.addEventListener("change", (event) => {
    const held = event.target.closest("[data-select], [data-mark-row]");
    if (!held) return;
    const row = held.dataset.select || held.dataset.markRow;
    if (row) draw(row);
    if (held.dataset.markRow !== undefined) tell(held);
  });
  sheet.addEventListener("click", (event) => {
    const spot = event.target.closest(".spot[data-row]");
    if (spot) put(spot.dataset.row, spot.dataset.value);
  });
}
