// The crew's switches and the vehicle's signals as plain controls, grouped by the panel they sit on.
import { h } from "preact";
import htm from "htm";

const html = htm.bind(h);

/**
 * @typedef {{name: string, kind: string, values: string[], label?: string, switch_kind?: string, losable?: boolean, springs_back?: [number, number][], tap_under_ms?: number}} Variable
 * @typedef {{
 *   value: (variable: number) => number,
 *   isLost: (variable: number) => boolean,
 *   set: (variable: number, value: number) => void,
 *   press: (variable: number) => void,
 *   release: (variable: number) => void,
 *   lose: (variable: number, lost: boolean) => void,
 * }} Hands
 */

/** @param {string} word */
const spoken = (word) => word.replaceAll("_", " ").replaceAll("-", " ");

/** @param {Variable} variable */
const legend = (variable) => variable.label || spoken(variable.name);

const KINDS = { slide: "slide", rotary: "rotary", rocker: "rocker", latching: "press on, press off", momentary: "while pressed" };

/** @param {{variable: Variable, index: number, hands: Hands}} props */
function Positions({ variable, index, hands }) {
  const now = hands.value(index);
  const springs = new Map(variable.springs_back ?? []);
  return html`<div class="positions">
    ${variable.values.map((value, i) =>
      springs.has(i)
        ? html`<${Sprung} key=${value} variable=${variable} index=${index} hands=${hands} position=${i} />`
        : html`<label key=${value}><input type="radio" name=${"v" + index} value=${value} checked=${now === i} onChange=${() => hands.set(index, i)} /><span>${spoken(value)}</span></label>`,
    )}
  </div>`;
}

/** What must be kept down: press on pointer or key, let go on release, on leaving and on losing focus. @param {() => void} press @param {() => void} release */
function held(press, release) {
  const down = (/** @type {Event} */ event) => {
    event.preventDefault();
    /** @type {HTMLElement} */ (event.currentTarget).focus();
    press();
  };
  const isKey = (/** @type {KeyboardEvent} */ event) => event.key === " " || event.key === "Enter";
  return {
    onPointerDown: down,
    onPointerUp: release,
    onPointerLeave: release,
    onPointerCancel: release,
    onKeyDown: (/** @type {KeyboardEvent} */ e) => isKey(e) && !e.repeat && down(e),
    onKeyUp: (/** @type {KeyboardEvent} */ e) => isKey(e) && release(),
    onBlur: release,
  };
}

/** A position that springs back. @param {{variable: Variable, index: number, hands: Hands, position: number}} props */
function Sprung({ variable, index, hands, position }) {
  const on = hands.value(index) === position;
  const release = () => hands.value(index) === position && hands.release(index);
  return html`<button type="button" class="key-button sprung" aria-pressed=${on ? "true" : "false"} ...${held(() => hands.set(index, position), release)}>
    <span>${spoken(variable.values[position])}</span><span>hold</span>
  </button>`;
}

/** @param {{variable: Variable, index: number, hands: Hands}} props */
function Latching({ variable, index, hands }) {
  const on = hands.value(index) > 0;
  return html`<button type="button" class="key-button" aria-pressed=${on ? "true" : "false"} aria-label=${`${legend(variable)}, Press ${on ? "on" : "off"}`} onClick=${() => hands.press(index)}>
    <span>Press</span>${" "}<span>${on ? "on" : "off"}</span>
  </button>`;
}

/** @param {{variable: Variable, index: number, hands: Hands}} props */
function Momentary({ variable, index, hands }) {
  const on = hands.value(index) > 0;
  const release = () => hands.value(index) > 0 && hands.release(index);
  const act = variable.tap_under_ms ? `Tap (under ${variable.tap_under_ms} ms) or hold` : "Hold";
  return html`<button type="button" class="key-button" aria-pressed=${on ? "true" : "false"} aria-label=${`${legend(variable)}, ${act} ${variable.values[hands.value(index)]}`} ...${held(() => hands.value(index) === 0 && hands.press(index), release)}>
    <span>${act}</span>${" "}<span>${variable.values[hands.value(index)]}</span>
  </button>`;
}

/** @param {{variable: Variable, index: number, hands: Hands}} props */
export function SwitchRow({ variable, index, hands }) {
  const kind = /** @type {keyof typeof KINDS} */ (variable.switch_kind ?? "slide");
  const Control = kind === "latching" ? Latching : kind === "momentary" ? Momentary : Positions;
  return html`<div class="row" role="group" aria-label=${legend(variable)}>
    <span class="legend">${legend(variable)}<small>${KINDS[kind]}</small></span>
    <${Control} variable=${variable} index=${index} hands=${hands} />
  </div>`;
}

/** @param {{variable: Variable, index: number, hands: Hands}} props */
export function SignalRow({ variable, index, hands }) {
  return html`<div class="row" role="group" aria-label=${spoken(variable.name)}>
    <span class="legend">${spoken(variable.name)}</span>
    <div class="with-lost">
      <${Positions} variable=${variable} index=${index} hands=${hands} />
      ${variable.losable &&
      html`<label class="lost"><input type="checkbox" checked=${hands.isLost(index)} onChange=${(/** @type {Event} */ e) => hands.lose(index, /** @type {HTMLInputElement} */ (e.currentTarget).checked)} />lost</label>`}
    </div>
  </div>`;
}

/** @param {{variables: Variable[], layout: any, hands: Hands, refused: string, onState: (state: any) => void, stateId: string}} props */
export function Controls({ variables, layout, hands, refused, onState, stateId }) {
  const numbered = variables.map((variable, index) => ({ variable, index }));
  const signals = numbered.filter((v) => v.variable.kind === "signal");
  const inner = numbered.filter((v) => v.variable.kind === "memory" || v.variable.kind === "timer");
  return html`
    <section class="panel-drawing" aria-labelledby="states-title">
      <h2 id="states-title">Saved states</h2>
      <div class="state-list">
        ${layout.states.map(
          (/** @type {any} */ s) => html`<button key=${s.id} type="button" class="button" aria-pressed=${stateId === s.id ? "true" : "false"} onClick=${() => onState(s)}>${s.title}</button>`,
        )}
        <button type="button" class="button" onClick=${() => onState(null)}>All at rest</button>
      </div>
    </section>
    ${refused && html`<p class="refused" role="alert">${refused}</p>`}
    ${layout.panels.map(
      (/** @type {any} */ p) => html`<section key=${p.id} class="panel-drawing" aria-label=${"Switches, " + p.title}>
        <h2>${p.title} <span>${p.switches.length} ${p.switches.length === 1 ? "switch" : "switches"}</span></h2>
        <div class="rows">${p.switches.map((/** @type {number} */ i) => html`<${SwitchRow} key=${i} variable=${variables[i]} index=${i} hands=${hands} />`)}</div>
      </section>`,
    )}
    <section class="panel-drawing" aria-label="Vehicle signals">
      <h2>Vehicle signals <span>as the vehicle reports them</span></h2>
      <div class="rows">${signals.map(({ variable, index }) => html`<${SignalRow} key=${index} variable=${variable} index=${index} hands=${hands} />`)}</div>
    </section>
    ${inner.length > 0 &&
    html`<section class="panel-drawing" aria-label="Memories and timers">
      <h2>Memories and timers <span>follow from the rest</span></h2>
      <ul class="inner">
        ${inner.map(({ variable, index }) => html`<li key=${index} class=${hands.value(index) > 0 ? "on" : ""}><span>${spoken(variable.name)}</span><b>${variable.values[hands.value(index)]}</b></li>`)}
      </ul>
    </section>`}
  `;
}
