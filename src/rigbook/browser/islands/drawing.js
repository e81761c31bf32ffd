// The drawing moves as the vehicle would: lamps of the server's SVG are lit in place.
import { shownAt } from "./timelines.js";

/** Fill of a lit lamp; a colour that is not here is shown grey, and its letter tells it. */
const INKS = { red: "#ff4d3d", blue: "#4d94ff", amber: "#ffae1f", white: "#ffffff", green: "#35d068", yellow: "#ffe83b", infrared: "#9a9a9a" };

/** @param {string} colour */
const ink = (colour) => INKS[/** @type {keyof typeof INKS} */ (colour)] ?? "#b8b8b8";

/** The halo of a lamp lies under all lamps of its view. @param {Element} group @returns {Element} */
function haloOf(group) {
  const { device, pose } = /** @type {SVGElement} */ (group).dataset;
  const view = /** @type {Element} */ (group.closest(".view"));
  return /** @type {Element} */ (view.querySelector(`.halo[data-device="${CSS.escape(device ?? "")}"][data-pose="${pose}"]`));
}

/** Shows outcomes on the lamps of a page, and touches only what changed. */
export class Drawing {
  /**
   * @param {ParentNode} root
   * @param {{id: string, kind: string, poses: any[]}[]} devices  of the compiled program
   * @param {Record<string, string>} letters
   */
  constructor(root, devices, letters) {
    this.letters = letters;
    /** @type {{pose: number, group: Element, inks: SVGElement[], halo: Element, shown: Element, size: number, now: string}[][]} */
    this.lamps = devices.map(() => []);
    const index = new Map(devices.map((d, i) => [d.id, i]));
    for (const group of root.querySelectorAll(".lamp")) {
      const at = index.get(/** @type {SVGElement} */ (group).dataset.device ?? "");
      if (at === undefined) continue;
      const shown = /** @type {Element} */ (group.querySelector(".shown"));
      this.lamps[at].push({
        pose: Number(/** @type {SVGElement} */ (group).dataset.pose),
        group,
        inks: [...group.querySelectorAll(".ink")].map((e) => /** @type {SVGElement} */ (e)),
        halo: haloOf(group),
        shown,
        size: Number(shown.getAttribute("font-size")),
        now: "?",
      });
    }
  }

  /**
   * @param {{lit: import("./timelines.js").Lit[]}} outcome
   * @param {number[]} poses  by device: 0 with doors closed
   * @param {number | null} ms  instant to show; null holds every flash: lit lamps are shown without moving
   */
  paint(outcome, poses, ms) {
    this.lamps.forEach((marks, device) => {
      const lit = outcome.lit[device];
      const shown = ms === null ? lit.map(([colour]) => ({ colour, intensity: 1 })) : shownAt(lit, ms);
      for (const mark of marks) this.#one(mark, mark.pose === poses[device] ? shown : [], ms === null);
    });
  }

  /**
   * @param {{group: Element, inks: SVGElement[], halo: Element, shown: Element, size: number, now: string}} mark
   * @param {{colour: string, intensity: number}[]} shown
   * @param {boolean} held
   */
  #one(mark, shown, held) {
    const now = shown.map((s) => `${s.colour}:${s.intensity.toFixed(2)}`).join(" ") + (held ? " held" : "");
    if (now === mark.now) return;
    mark.now = now;
    const on = shown.length > 0;
    mark.group.classList.toggle("lit", on);
    mark.group.classList.toggle("held", on && held);
    mark.group.setAttribute("data-lit", shown.map((s) => s.colour).join(" "));
    for (const part of mark.inks) {
      const own = shown.find((s) => s.colour === part.dataset.colour);
      // a head that shows one of its colours shows it over its whole face
      const fill = own ?? (shown.length === 1 ? shown[0] : undefined);
      part.style.fill = fill ? ink(fill.colour) : "";
      part.style.fillOpacity = fill ? String(0.45 + 0.55 * fill.intensity) : "";
    }
    const halo = /** @type {SVGElement} */ (mark.halo);
    halo.style.fill = on && !held ? ink(shown[0].colour) : "none";
    halo.style.fillOpacity = on ? String(0.16 + 0.3 * shown[0].intensity) : "";
    const letters = shown.map((s) => this.letters[s.colour] ?? "?").join("");
    mark.shown.textContent = letters;
    mark.shown.setAttribute("font-size", String(letters.length > 1 ? mark.size * 0.62 : mark.size));
  }
}
