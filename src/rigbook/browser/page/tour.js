// The guided tour: what each switch does, tried out on the drawing from a standing start.
import { el, spoken } from "./elements.js";

/** @param {any} page @returns {{box: HTMLElement, show: () => void}} */
export function tour(page) {
  const stops = page.data.tour;
  const box = el("div", { class: "tour" });
  let at = 0;
  if (!stops.length) {
    box.append(el("p", {}, "There is no switch on this vehicle."));
    return { box, show: () => {} };
  }
  const pick = el("select", { id: "stop", onchange: (/** @type {Event} */ e) => go(Number(/** @type {HTMLSelectElement} */ (e.currentTarget).value)) });
  stops.forEach((/** @type {any} */ s, /** @type {number} */ i) => pick.append(el("option", { value: i }, `${i + 1}. ${s.label}: ${spoken(s.position)}`)));
  const stop = el("div", { class: "stop", "aria-live": "polite" });
  const go = (/** @type {number} */ number) => {
    at = (number + stops.length) % stops.length;
    /** @type {HTMLSelectElement} */ (pick).value = String(at);
    draw();
  };
  const draw = () => {
    const s = stops[at];
    stop.replaceChildren(
      el("h2", {}, s.label, el("span", { class: "quiet" }, ` ${spoken(s.position)}`)),
      ...s.shows.map((/** @type {any} */ one) => shown(page, s, one)),
      el("p", {}, el("button", { type: "button", class: "button", onclick: () => page.remark(`${s.label}: ${spoken(s.position)}`) }, "Leave a remark on this")),
    );
  };
  box.append(
    el("p", { class: "quiet" }, `${stops.length} stops. Each was tried on the program of this vehicle; “Show it” sets the switches for you.`),
    el("div", { class: "pick" }, el("label", { for: "stop" }, "Stop"), pick),
    stop,
    el("div", { class: "steps" }, el("button", { type: "button", class: "button", id: "back", onclick: () => go(at - 1) }, "Back"), el("button", { type: "button", class: "button first", id: "next", onclick: () => go(at + 1) }, "Next")),
  );
  draw();
  return { box, show: () => {} };
}

/** @param {any} page @param {any} stop @param {any} one */
function shown(page, stop, one) {
  const lost = one.lost.length ? el("details", {}, el("summary", {}, "If a signal is lost"), el("ul", {}, ...one.lost.map((/** @type {string[]} */ [signal, words]) => el("li", {}, `${signal}: ${words}`)))) : null;
  const show = one.events.length ? el("button", { type: "button", class: "button", "data-start": one.start, onclick: () => page.demonstrate(one) }, `Show it ${one.start}`) : null;
  return el("section", { class: "effect" }, el("h3", {}, one.start[0].toUpperCase() + one.start.slice(1)), one.after && el("p", { class: "quiet" }, `First: ${one.after}.`), el("ul", {}, ...one.does.map((/** @type {string} */ words) => el("li", {}, words))), show, lost);
}
