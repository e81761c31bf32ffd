// Lids on the body page: the swing from the side with a slider, and the moment that opens by angle, cold and hot.
import { h } from "preact";
import { useState } from "preact/hooks";
import htm from "htm";

const html = htm.bind(h);
const LINES = /** @type {[string, string, string][]} */ ([["cold_n_m", "coldest", "6 3"], ["net_n_m", "20 °C", ""], ["hot_n_m", "hottest", "1.5 3"]]);

/** @param {{lid: any, shape: any, angle: number}} props */
function Side({ lid, shape, angle }) {
  const at = (/** @type {number} */ r, /** @type {number} */ deg) => [r * Math.cos(deg * Math.PI / 180), -r * Math.sin(deg * Math.PI / 180)];
  const body = [lid.body_out_m, -lid.body_up_m];
  const ends = [shape.closed, shape.open, angle].map((a) => at(shape.length, a));
  const xs = [0, body[0], ...ends.map((p) => p[0])];
  const ys = [0, body[1], ...ends.map((p) => p[1])];
  const pad = 0.06 * shape.length;
  const box = [Math.min(...xs) - pad, Math.min(...ys) - pad, Math.max(...xs) - Math.min(...xs) + 2 * pad, Math.max(...ys) - Math.min(...ys) + 2 * pad];
  const edge = at(shape.length, angle);
  const stud = at(lid.stud_m, angle + shape.beside);
  const thin = shape.length / 120;
  return html`<svg class="lid-side" viewBox=${box.join(" ")} role="img" aria-label=${`${lid.id} from the side at ${angle.toFixed(0)} deg`}>
    ${[shape.closed, shape.open].map((a) => { const p = at(shape.length, a); return html`<line class="lid-ghost" x1="0" y1="0" x2=${p[0]} y2=${p[1]} stroke-width=${thin} />`; })}
    <line class="lid-board" x1="0" y1="0" x2=${edge[0]} y2=${edge[1]} stroke-width=${3 * thin} />
    <line class="lid-spring" x1=${body[0]} y1=${body[1]} x2=${stud[0]} y2=${stud[1]} stroke-width=${2 * thin} />
    <circle class="lid-hinge" cx="0" cy="0" r=${2.5 * thin} /><circle class="lid-stud" cx=${body[0]} cy=${body[1]} r=${2 * thin} stroke-width=${thin} /><circle class="lid-stud" cx=${stud[0]} cy=${stud[1]} r=${2 * thin} stroke-width=${thin} />
  </svg>`;
}

/** @param {{lid: any, point: any}} props */
function Curve({ lid, point }) {
  const values = lid.points.flatMap((/** @type {any} */ p) => LINES.map(([key]) => p[key]));
  const low = Math.min(0, ...values);
  const high = Math.max(0, ...values);
  const first = lid.points[0].angle_deg;
  const last = lid.points.at(-1).angle_deg;
  const x = (/** @type {number} */ a) => 46 + (a - first) / (last - first) * 240;
  const y = (/** @type {number} */ v) => 12 + (high - v) / ((high - low) || 1) * 110;
  return html`<svg class="lid-curve" viewBox="0 0 360 150" role="img" aria-label=${`${lid.id}: moment that opens it, by angle`}>
    <line class="axis" x1="46" y1=${y(0)} x2="286" y2=${y(0)} />
    <line class="now" x1=${x(point.angle_deg)} y1="8" x2=${x(point.angle_deg)} y2="126" />
    ${LINES.map(([key, name, dash], i) => html`<polyline key=${key} points=${lid.points.map((/** @type {any} */ p) => `${x(p.angle_deg)},${y(p[key])}`).join(" ")} stroke-dasharray=${dash} /><line class="key" x1="296" y1=${20 + 18 * i} x2="312" y2=${20 + 18 * i} stroke-dasharray=${dash} /><text x="316" y=${24 + 18 * i}>${name}</text>`)}
    <text x="42" y=${y(high) + 4} text-anchor="end">${high.toPrecision(2)}</text><text x="42" y=${y(low) + 4} text-anchor="end">${low.toPrecision(2)}</text>
    <text x=${x(first)} y="142" text-anchor="middle">${first}°</text><text x=${x(last)} y="142" text-anchor="middle">${last}°</text><text x="166" y="142" text-anchor="middle">N m that open it</text>
  </svg>`;
}

/** @param {any} props */
function Lid({ lid, shape, figure, length }) {
  const [index, setIndex] = useState(lid.points.length - 1);
  const point = lid.points[index];
  const id = `body.lids[${lid.id}]`;
  return html`<article class="lid"><h3>${lid.id} <span class="quiet">${lid.springs} × ${lid.spring}</span></h3>
    ${shape ? html`<${Side} lid=${lid} shape=${shape} angle=${point.angle_deg} />` : null}
    <label class="body-choice">Swing <input type="range" min="0" max=${lid.points.length - 1} value=${index} aria-valuetext=${`${point.angle_deg.toFixed(0)} degrees`} onInput=${(/** @type {any} */ e) => setIndex(Number(e.target.value))} /></label>
    <p role="status">At ${point.angle_deg.toFixed(0)} deg: spring ${figure(`${id}.points[${point.id}].spring_length_m`, length(point.spring_length_m))} long, ${figure(`${id}.points[${point.id}].spring_n`, `${Math.round(point.spring_n)} N`)} each; at the hand ${figure(`${id}.points[${point.id}].hand_n`, `${Math.abs(Math.round(point.hand_n))} N`)} ${point.hand_n > 0 ? "down to hold it" : "up to hold it"}.</p>
    <${Curve} lid=${lid} point=${point} />
    <dl class="body-facts"><dt>Open at its coldest</dt><dd>${lid.open_cold_n_m > 0 ? "✓ stays" : "✕ falls"}, ${figure(`${id}.open_cold_n_m`, `${lid.open_cold_n_m.toFixed(1)} N m`)}</dd>
      <dt>Closed at its hottest</dt><dd>${lid.closed_hot_n_m < 0 ? "✓ stays" : "✕ rises"}, ${figure(`${id}.closed_hot_n_m`, `${lid.closed_hot_n_m.toFixed(1)} N m`)}</dd>
      <dt>Hand, opening</dt><dd>${figure(`${id}.hand_to_open_n`, `${Math.round(lid.hand_to_open_n)} N`)}, cold and weak ${figure(`${id}.hand_to_open_cold_n`, `${Math.round(lid.hand_to_open_cold_n)} N`)}</dd>
      <dt>Hand, closing</dt><dd>${figure(`${id}.hand_to_close_n`, `${Math.round(lid.hand_to_close_n)} N`)}, hot and strong ${figure(`${id}.hand_to_close_hot_n`, `${Math.round(lid.hand_to_close_hot_n)} N`)}</dd>
      <dt>Studs</dt><dd>lid ${figure(`${id}.stud_m`, length(lid.stud_m))} from the hinge; body ${figure(`${id}.body_out_m`, length(lid.body_out_m))} outward, ${figure(`${id}.body_up_m`, length(lid.body_up_m))} up</dd></dl>
  </article>`;
}

/** @param {any} props */
export function Lids(props) {
  const lids = props.body.lids ?? [];
  if (lids.length === 0) return html`<p class="empty">No lid is on record under <code>lids:</code> in the build.</p>`;
  return html`${lids.map((/** @type {any} */ lid) => html`<${Lid} key=${lid.id} lid=${lid} shape=${props.lidShapes[lid.id]} figure=${props.figure} length=${props.length} />`)}`;
}
