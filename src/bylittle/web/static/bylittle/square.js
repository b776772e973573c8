// The square and the covers by pointer and by arrow keys. Without this file the buttons and numbers do it all.
"use strict";

const SVG = "http://www.w3.org/2000/svg";
const KEYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
let waiting = 0;

class Board {
  constructor(form) {
    this.form = form;
    this.svg = form.querySelector("svg");
    this.wide = Number(form.dataset.width);
    this.high = Number(form.dataset.height);
    this.short = Math.min(this.wide, this.high);
    this.reach = this.wide * 0.03;
    for (const each of form.querySelectorAll(".scripted")) each.hidden = false;
    for (const each of form.querySelectorAll(".unscripted")) each.hidden = true;
    for (const shape of form.querySelectorAll("[data-shape]")) this.ready(shape);
    this.svg.addEventListener("pointerdown", (event) => this.take(event));
    form.addEventListener("input", () => { this.draw(); this.show(); });
    this.draw();
  }

  input(shape, name) {
    const id = shape === "square" ? `id_${name}` : `c${shape}-${name}`;
    return this.form.querySelector(`#${id}`);
  }

  box(shape) {
    const share = (name) => Number(this.input(shape, name).value) / 100;
    const x = share("left") * this.wide;
    const y = share("top") * this.high;
    if (shape === "square") return { x, y, w: share("side") * this.short, h: share("side") * this.short };
    return { x, y, w: share("width") * this.wide, h: share("height") * this.high };
  }

  put(shape, box) {
    const least = shape === "square" ? 64 : 8;
    let w = Math.min(Math.max(box.w, least), shape === "square" ? this.short : this.wide);
    let h = shape === "square" ? w : Math.min(Math.max(box.h, least), this.high);
    const x = Math.min(Math.max(box.x, 0), this.wide - w);
    const y = Math.min(Math.max(box.y, 0), this.high - h);
    const set = (name, value) => { this.input(shape, name).value = (100 * value).toFixed(1); };
    set("left", x / this.wide);
    set("top", y / this.high);
    if (shape === "square") set("side", w / this.short);
    else { set("width", w / this.wide); set("height", h / this.high); }
    this.draw();
    this.show();
  }

  ready(shape) {
    const name = shape.dataset.shape;
    const words = name === "square" ? "The square" : `Cover ${Number(name) + 1}`;
    shape.setAttribute("tabindex", "0");
    shape.setAttribute("role", "button");
    shape.setAttribute("aria-label", `${words}: arrow keys move it, plus and minus size it`);
    const grip = document.createElementNS(SVG, "circle");
    grip.setAttribute("class", "grip");
    grip.setAttribute("r", this.reach * 0.7);
    shape.append(grip);
    shape.addEventListener("keydown", (event) => this.key(event, name));
  }

  draw() {
    for (const shape of this.form.querySelectorAll("[data-shape]")) {
      const { x, y, w, h } = this.box(shape.dataset.shape);
      const rect = shape.querySelector("rect");
      for (const [name, value] of Object.entries({ x, y, width: w, height: h })) rect.setAttribute(name, value);
      const grip = shape.querySelector(".grip");
      grip.setAttribute("cx", x + w);
      grip.setAttribute("cy", y + h);
      const number = shape.querySelector("text");
      if (number) { number.setAttribute("x", x); number.setAttribute("y", y); }
      else this.svg.querySelector(".dim").setAttribute("d", `M0 0H${this.wide}V${this.high}H0ZM${x} ${y}h${w}v${h}h${-w}z`);
    }
  }

  show() {
    clearTimeout(waiting);
    waiting = setTimeout(() => {
      const told = new FormData(this.form);
      told.delete("csrfmiddlewaretoken");
      this.form.querySelector("[data-preview]").src = `${this.form.dataset.seen}?${new URLSearchParams(told)}`;
    }, 180);
  }

  at(event) {
    const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.svg.getScreenCTM().inverse());
    return { x: point.x, y: point.y };
  }

  take(event) {
    const shape = event.target.closest("[data-shape]");
    if (!shape) return;
    event.preventDefault();
    shape.focus({ preventScroll: true });
    const name = shape.dataset.shape;
    const start = this.at(event);
    const box = this.box(name);
    const sizes = event.target.classList.contains("grip");
    const move = (after) => {
      const { x, y } = this.at(after);
      const dx = x - start.x;
      const dy = y - start.y;
      if (!sizes) return this.put(name, { ...box, x: box.x + dx, y: box.y + dy });
      const more = Math.max(dx, dy);
      const square = name === "square" ? Math.min(box.w + more, this.wide - box.x, this.high - box.y) : 0;
      return this.put(name, { ...box, w: square || box.w + dx, h: square || box.h + dy });
    };
    const drop = () => {
      this.svg.removeEventListener("pointermove", move);
      this.svg.removeEventListener("pointerup", drop);
      this.svg.removeEventListener("pointercancel", drop);
    };
    this.svg.setPointerCapture(event.pointerId);
    this.svg.addEventListener("pointermove", move);
    this.svg.addEventListener("pointerup", drop);
    this.svg.addEventListener("pointercancel", drop);
  }

  key(event, name) {
    const box = this.box(name);
    const step = this.short * (event.shiftKey ? 0.05 : 0.01);
    if (KEYS[event.key]) {
      const [dx, dy] = KEYS[event.key];
      this.put(name, { ...box, x: box.x + dx * step, y: box.y + dy * step });
    } else if (["+", "=", "-"].includes(event.key)) {
      const more = event.key === "-" ? -2 * step : 2 * step;
      this.put(name, { x: box.x - more / 2, y: box.y - more / 2, w: box.w + more, h: box.h + more });
    } else if (event.key === "Delete" && name !== "square") {
      this.form.querySelector(`[name="do"][value="off-${name}"]`).click();
    } else return;
    event.preventDefault();
  }
}

// What was pressed while an answer was still on its way: pressed again once the new form stands.
const pressed = [];
document.addEventListener("submit", (event) => {
  if (event.target.matches("form[data-square].htmx-request")) pressed.push(event.submitter.value);
}, true);

let board = null;
function ready() {
  const form = document.querySelector("form[data-square]:not([data-ready])");
  if (!form) return;
  form.dataset.ready = "1";
  board = new Board(form);
}
function settled() {
  ready();
  if (!board) return;
  board.draw(); // only now do the fields hold the new numbers
  const next = pressed.shift();
  if (next) board.form.querySelector(`[name="do"][value="${next}"]`)?.click();
}
ready();
document.addEventListener("htmx:afterSwap", ready); // keys work from the first moment the shapes are seen
document.addEventListener("htmx:afterSettle", settled);
