// Switches to press and signals to set, as rows of controls. Each row is made once and then only brought up to date.
import { el, kept, spoken } from "./elements.js";

const KINDS = { slide: "slide", rotary: "turn", rocker: "rocker", latching: "on, off", momentary: "while pressed" };

/** @param {any} variable */
export const legend = (variable) => variable.label || spoken(variable.name);

/** @param {any} page @param {number} index @returns {{row: HTMLElement, show: () => void}} */
export function switchRow(page, index) {
  const v = page.program.variables[index];
  const made = v.switch_kind === "latching" ? latching(page, index, v) : v.switch_kind === "momentary" ? momentary(page, index, v) : positions(page, index, v);
  const kind = KINDS[/** @type {keyof typeof KINDS} */ (v.switch_kind)] ?? "";
  const row = el("div", { class: "row", role: "group", "aria-label": legend(v), "data-variable": v.name }, el("span", { class: "legend" }, legend(v), el("small", {}, kind)), made.box);
  return { row, show: made.show };
}

/** @param {any} page @param {number} index @param {any} v */
function positions(page, index, v) {
  const springs = new Map(v.springs_back ?? []);
  const keys = v.values.map((/** @type {string} */ value, /** @type {number} */ i) => {
    const own = springs.has(i)
      ? kept(() => page.act(() => page.machine.set(index, i)), () => page.act(() => page.machine.release(index)))
      : { onclick: () => page.act(() => page.machine.set(index, i)) };
    return el("button", { type: "button", class: "key", "data-value": value, ...own }, spoken(value));
  });
  const show = () => keys.forEach((/** @type {HTMLElement} */ key, /** @type {number} */ i) => key.setAttribute("aria-pressed", String(page.machine.value(index) === i)));
  return { box: el("div", { class: "positions" }, ...keys), show };
}

/** @param {any} page @param {number} index @param {any} v */
function latching(page, index, v) {
  const says = el("span", {}, "off");
  const key = el("button", { type: "button", class: "key wide", onclick: () => page.act(() => page.machine.press(index)) }, el("i", { class: "dot" }), says);
  const show = () => {
    const on = page.machine.value(index) > 0;
    key.setAttribute("aria-pressed", String(on));
    says.textContent = on ? "on" : "off";
    key.setAttribute("aria-label", `${legend(v)}, ${says.textContent}`);
  };
  return { box: el("div", { class: "positions" }, key), show };
}

/** @param {any} page @param {number} index @param {any} v */
function momentary(page, index, v) {
  const says = el("span", {}, "");
  const hands = kept(() => page.act(() => (page.machine.value(index) ? "" : page.machine.press(index))), () => page.machine.value(index) && page.act(() => page.machine.release(index)));
  const key = el("button", { type: "button", class: "key wide", ...hands }, el("i", { class: "dot" }), says);
  const act = v.tap_under_ms ? "tap or hold" : "hold";
  const show = () => {
    const now = page.machine.value(index);
    key.setAttribute("aria-pressed", String(now > 0));
    says.textContent = now ? v.values[now].replace("yes", "pressed") : act;
    key.setAttribute("aria-label", `${legend(v)}, ${says.textContent}`);
  };
  return { box: el("div", { class: "positions" }, key), show };
}

/** @param {any} page @param {number} index */
export function signalRow(page, index) {
  const v = page.program.variables[index];
  const { box, show } = positions(page, index, v);
  const lost = v.losable ? el("button", { type: "button", class: "key lost", onclick: () => page.act(() => page.machine.lose(index, !page.machine.isLost(index))) }, "lost") : null;
  if (lost) box.append(lost);
  const row = el("div", { class: "row", role: "group", "aria-label": spoken(v.name), "data-variable": v.name }, el("span", { class: "legend" }, spoken(v.name)), box);
  return {
    row,
    show: () => {
      show();
      lost?.setAttribute("aria-pressed", String(page.machine.isLost(index)));
    },
  };
}
