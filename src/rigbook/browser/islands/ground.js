// The ground around the vehicle with contour lines of illuminance. The nose is to the left, the driver's right above.
import { h } from "preact";
import { useState } from "preact/hooks";
import htm from "htm";

const html = htm.bind(h);
const SCALE = 10; // units of the drawing a metre, as the server draws the plan
const REACHES = [8, 15, 30];
const STRONG = new Set(["1", "10", "100", "3"]);

/** @param {number[]} line  x, y, x, y … in metres */
function path(line) {
  let d = "";
  for (let i = 0; i < line.length; i += 2) d += `${i ? "L" : "M"}${(line[i] * SCALE).toFixed(1)} ${(-line[i + 1] * SCALE).toFixed(1)}`;
  return d;
}

/** Where a level is written: the point of its longest line that lies nearest the wanted side, inside the window. @param {any} level @param {number} reach @param {number} turn */
function spot(level, reach, turn) {
  const longest = level.lines.reduce((/** @type {number[]} */ a, /** @type {number[]} */ b) => (b.length > a.length ? b : a), []);
  const wanted = [Math.cos(turn), Math.sin(turn)];
  let best = null;
  let most = -Infinity;
  for (let i = 0; i < longest.length; i += 2) {
    const [x, y] = [longest[i], longest[i + 1]];
    const along = (x - 2) * wanted[0] + y * wanted[1];
    if (Math.abs(x - 2) < reach && Math.abs(y) < reach * 0.72 && along > most) [best, most] = [[x, y], along];
  }
  return best;
}

/** @param {{light: any, plan: string, stateId: string}} props */
export function Ground({ light, plan, stateId }) {
  const [reach, setReach] = useState(15);
  const left = (2 - reach) * SCALE;
  const high = reach * 0.75 * SCALE;
  const size = reach * SCALE;
  const write = size / 42;
  const rulers = [];
  for (let m = -30; m <= 30; m += reach > 10 ? 5 : 2) rulers.push(m);
  const burning = light.lamps.filter((/** @type {any} */ l) => !l.inside);
  const words = light.levels.length
    ? `Contour lines from ${light.levels[0].text} to ${light.levels[light.levels.length - 1].text}, by ${burning.length} steady lamps.`
    : "Nothing burns steadily outside in this state: the ground is dark, as far as the light of its lamps is known.";
  return html`<div class="ground-bar" role="group" aria-label="How far the map reaches">
      ${REACHES.map((r) => html`<button key=${r} type="button" class="button small" aria-pressed=${r === reach ? "true" : "false"} onClick=${() => setReach(r)}>${r} m</button>`)}
    </div>
    <svg class="ground-map drawing" viewBox=${`${left} ${-high} ${2 * size} ${2 * high}`} role="img" aria-label=${`Light on the ground. ${words}`}>
      <g class="rulers">
        ${rulers.map((m) => html`<line key=${"x" + m} x1=${m * SCALE} x2=${m * SCALE} y1=${-high} y2=${high} /><line key=${"y" + m} y1=${m * SCALE} y2=${m * SCALE} x1=${left} x2=${left + 2 * size} />
          <text key=${"t" + m} x=${m * SCALE + 0.8} y=${high - 1.2} font-size=${write * 0.85}>${m} m</text>`)}
      </g>
      <g class="vehicle" dangerouslySetInnerHTML=${{ __html: plan }} />
      <g class="contours">${light.levels.map((/** @type {any} */ l) => html`<g key=${l.text} class=${STRONG.has(l.text.split(" ")[0]) ? "strong" : ""} data-level=${l.text}>${l.lines.map((/** @type {number[]} */ line, /** @type {number} */ i) => html`<path key=${i} d=${path(line)} />`)}</g>`)}</g>
      <g class="ground-areas">${light.areas
        .filter((/** @type {any} */ a) => a.ground)
        .map((/** @type {any} */ a) => {
          const [[ax, ay], [bx, by]] = a.ground;
          const [x, y] = [Math.min(ax, bx) * SCALE, -Math.max(ay, by) * SCALE];
          return html`<rect key=${a.id} class=${a.state === stateId ? "own" : ""} x=${x} y=${y} width=${Math.abs(bx - ax) * SCALE} height=${Math.abs(by - ay) * SCALE} />`;
        })}</g>
      <g class="burning">${burning.map((/** @type {any} */ l) => html`<g key=${l.id}><line x1=${l.x * SCALE} y1=${-l.y * SCALE} x2=${(l.x + l.ax * 0.9) * SCALE} y2=${-(l.y + l.ay * 0.9) * SCALE} /><circle cx=${l.x * SCALE} cy=${-l.y * SCALE} r=${write * 0.28}><title>${l.id}</title></circle></g>`)}</g>
      <g class="level-names">${light.levels.map((/** @type {any} */ l, /** @type {number} */ i) => {
        const at = spot(l, reach, i % 2 ? Math.PI * 0.38 : -Math.PI * 0.38);
        return at && html`<text key=${l.text} x=${at[0] * SCALE} y=${-at[1] * SCALE + write * 0.35} font-size=${write} text-anchor="middle">${l.text}</text>`;
      })}</g>
    </svg>
    <p class="quiet">${words} Past the vehicle's outline; beams as entered, no light of the surroundings. Dots are lamps, dashed are areas of the build.</p>`;
}
