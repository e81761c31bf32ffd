// Optical power of flashing warning lamps by bearing and colour, and by zone, in the present state.
import { h } from "preact";
import htm from "htm";

const html = htm.bind(h);
const R = 100;
const DASHES = ["", "6 2", "2 2", "8 2 2 2", "1 3"];

/** A round figure at or above a value. @param {number} value */
function roof(value) {
  const ten = 10 ** Math.floor(Math.log10(value));
  return [1, 2, 5, 10].map((f) => f * ten).find((v) => v >= value) ?? value;
}

/** @param {number} value */
const thousands = (value) => Math.round(value).toLocaleString("en-US");

/** A bearing clockwise from ahead, at a share of the radius; ahead is to the left as on the plan. @param {number} deg @param {number} share */
function at(deg, share) {
  const a = (deg * Math.PI) / 180;
  return [-Math.cos(a) * share * R, -Math.sin(a) * share * R];
}

/** @param {{light: any, letters: Record<string, string>}} props */
export function Polar({ light, letters }) {
  const colours = Object.keys(light.around).filter((c) => Math.max(...light.around[c]) > 0);
  const most = Math.max(0, ...colours.flatMap((c) => light.around[c]));
  const top = most > 0 ? roof(most) : 1;
  const words = colours.length ? `${colours.join(", ")}; most ${thousands(most)} cd·s/min` : "no warning lamp flashes in this state";
  // the square root spreads weak bearings; rings carry their figure
  const share = (/** @type {number} */ v) => Math.sqrt(v / top);
  return html`<svg class="polar" viewBox="-124 -116 248 232" role="img" aria-label=${`Optical power by bearing: ${words}`}>
      <g class="rings">
        ${[0.1, 0.25, 0.5, 1].map((part) => html`<circle key=${part} r=${share(part * top) * R} />`)}
        ${[45, 135, 225, 315].map((deg) => html`<line key=${deg} x1="0" y1="0" x2=${at(deg, 1)[0]} y2=${at(deg, 1)[1]} />`)}
        ${most > 0 && [0.1, 0.25, 0.5, 1].map((part) => html`<text key=${"t" + part} x="0" y=${share(part * top) * R - 2} text-anchor="middle">${thousands(part * top)}</text>`)}
      </g>
      <g class="bearings"><text x="-106" y="-3" text-anchor="middle">front</text><text x="106" y="-3" text-anchor="middle">rear</text><text y="-106" text-anchor="middle">right</text><text y="112" text-anchor="middle">left</text></g>
      ${colours.map((colour, i) => {
        const values = light.around[colour];
        const points = light.bearings.map((/** @type {number} */ deg, /** @type {number} */ n) => at(deg, share(values[n])));
        const peak = values.indexOf(Math.max(...values));
        const [x, y] = at(light.bearings[peak], Math.min(1, share(values[peak])) * 0.9);
        return html`<g key=${colour} class=${"curve curve-" + colour} data-colour=${colour}><path d=${`M${points.map((/** @type {number[]} */ p) => p.map((v) => v.toFixed(1)).join(" ")).join("L")}Z`} stroke-dasharray=${DASHES[i % DASHES.length]} />
          <text x=${x.toFixed(1)} y=${(y + 4 + (i % 3) * 11 - 5).toFixed(1)} text-anchor="middle">${letters[colour] ?? "?"}</text></g>`;
      })}
    </svg>
    <div class="wide-table" tabindex="0" role="region" aria-label="Optical power by zone in this state">
    <table class="zone-powers">
      <thead><tr><th scope="col">Zone</th><th scope="col" class="n">all levels</th><th scope="col" class="n">upper</th><th scope="col" class="n">lower</th><th scope="col" class="n">weakest point</th></tr></thead>
      <tbody>${["front", "right", "rear", "left"].map((zone) => {
        const of = (/** @type {string} */ level) => light.zones.find((/** @type {any} */ z) => z.zone === zone && z.level === level);
        return html`<tr key=${zone} data-zone=${zone}><th scope="row">${zone}</th>${["all", "upper", "lower"].map((level) => html`<td key=${level} class="n">${thousands(of(level).cd_s_per_min)}</td>`)}<td class="n">${thousands(of("all").point_cd_s_per_min)}</td></tr>`;
      })}</tbody>
    </table></div>
    <p class="quiet">In this state, cd·s/min on the horizontal: each zone's 19 points added up. Radius by square root; ${words}.</p>`;
}
