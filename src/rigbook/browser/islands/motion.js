// Whether the drawing moves, how fast, and the caution before it does for the first time.
import { h } from "preact";
import htm from "htm";

const html = htm.bind(h);
const SPEEDS = [
  [1, "true speed"],
  [0.5, "half"],
  [0.25, "quarter"],
  [0.1, "one tenth"],
];

/**
 * @param {{mode: string, speed: number, reduced: boolean, onStart: () => void, onAccept: () => void, onCancel: () => void,
 *          onStop: () => void, onSpeed: (speed: number) => void, onStep: () => void, ms: number | null}} props
 */
export function Motion({ mode, speed, reduced, onStart, onAccept, onCancel, onStop, onSpeed, onStep, ms }) {
  if (mode === "asking") {
    return html`<div class="caution-box" role="alertdialog" aria-labelledby="flash-caution" aria-describedby="flash-words">
      <strong id="flash-caution">Caution: flashing light</strong>
      <p id="flash-words">The lamps will flash as they do on the vehicle. Flashing light can set off seizures in photosensitive people. Stop is one press away (Escape), and the flashing can be slowed.</p>
      <button type="button" class="button" id="accept-flashing" onClick=${onAccept}>Start flashing</button>
      <button type="button" class="button" onClick=${onCancel}>Leave it still</button>
    </div>`;
  }
  const running = mode === "running";
  return html`
    ${running
      ? html`<button type="button" class="button first" id="stop-flashing" onClick=${onStop}>Stop flashing</button>`
      : html`<button type="button" class="button first" id="start-flashing" disabled=${reduced} onClick=${onStart}>Flash as on the vehicle…</button>`}
    ${running
      ? html`<label>Speed <select id="speed" value=${String(speed)} onChange=${(/** @type {Event} */ e) => onSpeed(Number(/** @type {HTMLSelectElement} */ (e.currentTarget).value))}>${SPEEDS.map(([v, words]) => html`<option key=${v} value=${String(v)}>${words}</option>`)}</select></label>`
      : html`<button type="button" class="button" onClick=${onStep}>Step 50 ms</button>`}
    <p class=${reduced && !running ? "says says-needed" : "says"}>
      ${running
        ? "Flashing. Escape stops it."
        : ms === null
          ? "Held still: every lamp that is on is shown at once."
          : `Held at ${ms} ms.`}
      ${reduced && !running ? " Your system asks for less motion, so flashing stays off; step through it instead." : ""}
    </p>
  `;
}
