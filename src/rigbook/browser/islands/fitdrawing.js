// The drawing of the Fit page: lamps are picked with the pointer or the keys, and moved by small steps in their view.

/** Which way the arrow keys lead in a view, in vehicle axes: back, to the right, up. Views show the vehicle as drawn. */
const AXES = {
  plan: { right: ["x_m", 1], up: ["y_m", 1] },
  left: { right: ["x_m", 1], up: ["z_m", 1] },
  right: { right: ["x_m", -1], up: ["z_m", 1] },
  front: { right: ["y_m", -1], up: ["z_m", 1] },
  rear: { right: ["y_m", 1], up: ["z_m", 1] },
};
const KEYS = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

/** @param {Element} lamp @returns {[number, number]} its middle on the screen, upward */
function middle(lamp) {
  const box = (lamp.querySelector(".edge") ?? lamp).getBoundingClientRect();
  return [box.left + box.width / 2, -(box.top + box.height / 2)];
}

/** The next lamp of the same view in a direction: the nearest, what lies askew counted as further away. @param {Element} from @param {number[]} way */
function next(from, [du, dv]) {
  const [u, v] = middle(from);
  let best = null;
  let least = Infinity;
  for (const lamp of from.closest("svg")?.querySelectorAll(".lamp") ?? []) {
    const [a, b] = middle(lamp);
    const ahead = (a - u) * du + (b - v) * dv;
    const aside = Math.abs((a - u) * dv) + Math.abs((b - v) * du);
    if (lamp !== from && ahead > 0.5 && ahead + 2 * aside < least) {
      least = ahead + 2 * aside;
      best = lamp;
    }
  }
  return best;
}

export class FitDrawing {
  /**
   * @param {HTMLElement} place
   * @param {{pick: (device: string) => void, nudge: (by: Record<string, number>) => void, step: () => number, rowOf: (device: string) => string}} hands
   */
  constructor(place, hands) {
    this.place = place;
    this.hands = hands;
    /** @type {string[]} */
    this.devices = [];
    /** @type {{device: string, view: string} | null} what had the focus when the drawing was made anew */
    this.focus = null;
    place.addEventListener("click", (event) => this.#picked(event));
    place.addEventListener("keydown", (event) => this.#key(event));
  }

  /** @param {string[]} views  SVG of each view */
  show(views) {
    const had = document.activeElement?.closest?.(".lamp");
    if (had && this.place.contains(had)) this.focus = this.#named(had);
    this.place.innerHTML = views.join("");
    for (const drawing of this.place.querySelectorAll("svg")) {
      drawing.setAttribute("role", "group");
      const lamps = [...drawing.querySelectorAll(".lamp")];
      lamps.forEach((lamp, i) => {
        const device = /** @type {SVGElement} */ (lamp).dataset.device ?? "";
        const open = /** @type {SVGElement} */ (lamp).dataset.pose !== "0";
        lamp.setAttribute("role", "button");
        lamp.setAttribute("tabindex", i === 0 ? "0" : "-1");
        lamp.setAttribute("aria-label", `${device}${open ? ", with its door open" : ""}${this.hands.rowOf(device) ? "" : ", the vehicle's own lamp"}`);
        lamp.setAttribute("aria-pressed", "false");
      });
    }
    this.mark(this.devices);
    if (this.focus) this.#focused(this.#find(this.focus));
    this.focus = null;
  }

  /** @param {string[]} devices  those of the chosen row */
  mark(devices) {
    this.devices = devices;
    for (const lamp of this.place.querySelectorAll(".lamp")) {
      const chosen = devices.includes(/** @type {SVGElement} */ (lamp).dataset.device ?? "");
      lamp.classList.toggle("chosen", chosen);
      lamp.setAttribute("aria-pressed", String(chosen));
    }
  }

  /** @param {Element} lamp */
  #named(lamp) {
    const drawing = /** @type {Element} */ (lamp.closest("svg"));
    return { device: /** @type {SVGElement} */ (lamp).dataset.device ?? "", view: this.#view(drawing) };
  }

  /** @param {Element} drawing */
  #view(drawing) {
    return /drawing-(\w+)/.exec(drawing.getAttribute("class") ?? "")?.[1] ?? "";
  }

  /** @param {{device: string, view: string}} named */
  #find({ device, view }) {
    return this.place.querySelector(`svg.drawing-${view} .lamp[data-device="${CSS.escape(device)}"]`);
  }

  /** @param {Element | null} lamp */
  #focused(lamp) {
    if (!lamp) return;
    for (const other of lamp.closest("svg")?.querySelectorAll(".lamp") ?? []) other.setAttribute("tabindex", other === lamp ? "0" : "-1");
    /** @type {SVGElement} */ (lamp).focus();
  }

  /** @param {Event} event */
  #picked(event) {
    const lamp = /** @type {Element} */ (event.target).closest?.(".lamp");
    if (!lamp) return;
    this.#focused(lamp);
    this.hands.pick(/** @type {SVGElement} */ (lamp).dataset.device ?? "");
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    const lamp = /** @type {Element} */ (event.target).closest?.(".lamp");
    if (!lamp || event.ctrlKey || event.metaKey) return;
    const way = KEYS[/** @type {keyof typeof KEYS} */ (event.key)];
    if (event.key === "Enter" || event.key === " ") this.hands.pick(/** @type {SVGElement} */ (lamp).dataset.device ?? "");
    else if (way && event.shiftKey) this.#nudge(lamp, way, event.altKey ? 10 : 1);
    else if (way && !event.altKey) this.#focused(next(lamp, way));
    else return;
    event.preventDefault();
  }

  /** @param {Element} lamp @param {number[]} way @param {number} times */
  #nudge(lamp, [du, dv], times) {
    const { device, view } = this.#named(lamp);
    if (!this.devices.includes(device)) return;
    const axes = AXES[/** @type {keyof typeof AXES} */ (view)];
    const [axis, sense] = du ? axes.right : axes.up;
    this.focus = { device, view };
    this.hands.nudge({ [/** @type {string} */ (axis)]: Number(sense) * (du || dv) * this.hands.step() * times });
  }
}
