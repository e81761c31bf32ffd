// Faces on the body page: cut-outs to drag or to nudge with the arrow keys; the build is edited where one lets go.
import { h } from "preact";
import { useState } from "preact/hooks";
import htm from "htm";

const html = htm.bind(h);
const STEP_MM = 1;

/** @param {number} m */
const mm = (m) => Math.round(10000 * m) / 10;

/** A rectangle's distance to another; below zero where they overlap. @param {number[]} a @param {number[]} b  left, bottom, right, top */
export function apart(a, b) {
  const dx = Math.max(b[0] - a[2], a[0] - b[2]);
  const dy = Math.max(b[1] - a[3], a[1] - b[3]);
  return dx > 0 && dy > 0 ? Math.hypot(dx, dy) : Math.max(dx, dy);
}

/** What a thing covers at a place, mm: bezel, and letters above and below. @param {any} item @param {number} x @param {number} y @param {number} strip */
export function covers(item, x, y, strip) {
  const w = 1000 * item.bezel_width_m / 2;
  const t = 1000 * item.bezel_height_m / 2;
  const up = item.letter_m === null ? 0 : strip;
  const down = item.legends.length > 1 && item.letter_m !== null ? strip : 0;
  return [x - w, y - t - down, x + w, y + t + up];
}

/** @param {any} item @param {any} face @param {number} x @param {number} y @param {number} strip @param {any} sheet */
function trouble(item, face, x, y, strip, sheet) {
  const own = covers(item, x, y, strip);
  const beside = face.items.filter((/** @type {any} */ o) => o.id !== item.id).find((/** @type {any} */ o) => apart(own, covers(o, 1000 * o.x_m, 1000 * o.y_m, strip)) < -1e-6);
  if (beside) return `overlaps ${beside.id}`;
  if (own[0] < 0 || own[1] < 0 || own[2] > 1000 * face.width_m || own[3] > 1000 * face.height_m) return "reaches over the edge";
  const near = face.items.filter((/** @type {any} */ o) => o.id !== item.id).find((/** @type {any} */ o) => apart(own, covers(o, 1000 * o.x_m, 1000 * o.y_m, strip)) < 1000 * sheet.gap - 1e-6);
  return near ? `nearer than ${mm(sheet.gap)} mm to ${near.id}` : "";
}

/** @param {any} props */
function Face({ face, sheet, bench, readOnly, figure, length }) {
  const [moving, setMoving] = useState(/** @type {any} */ (null));
  const [picked, setPicked] = useState("");
  const wide = 1000 * face.width_m;
  const high = 1000 * face.height_m;
  const strip = 1.7 * 1000 * sheet.legend;
  const pad = Math.max(6, wide * 0.02);

  /** @param {any} e */
  const place = (e) => {
    const svg = e.currentTarget.closest("svg");
    const point = new DOMPoint(e.clientX, e.clientY).matrixTransform(svg.getScreenCTM().inverse());
    return { x: point.x, y: high - point.y };
  };
  /** @param {any} item @param {number} x @param {number} y */
  const settle = (item, x, y) => {
    const across = Math.min(wide, Math.max(0, Math.round(x / STEP_MM) * STEP_MM));
    const up = Math.min(high, Math.max(0, Math.round(y / STEP_MM) * STEP_MM));
    if (across === mm(item.x_m) && up === mm(item.y_m)) return;
    bench.edit([{ do: "set", path: `install[${item.id}].on.at`, value: `[${across} mm, ${up} mm]`, fragment: true }], `move ${item.id} on ${face.id}`);
  };
  /** @param {any} item @param {any} e */
  const down = (item, e) => {
    setPicked(item.id);
    if (readOnly || e.button) return;
    e.currentTarget.setPointerCapture(e.pointerId);
    const at = place(e);
    setMoving({ id: item.id, dx: 1000 * item.x_m - at.x, dy: 1000 * item.y_m - at.y, x: 1000 * item.x_m, y: 1000 * item.y_m });
  };
  /** @param {any} item @param {any} e */
  const move = (item, e) => {
    if (moving?.id !== item.id) return;
    const at = place(e);
    setMoving({ ...moving, x: Math.round(at.x + moving.dx), y: Math.round(at.y + moving.dy) });
  };
  /** @param {any} item */
  const up = (item) => {
    if (moving?.id === item.id) settle(item, moving.x, moving.y);
    setMoving(null);
  };
  /** @param {any} item @param {any} e */
  const key = (item, e) => {
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[/** @type {"ArrowLeft"} */ (e.key)];
    if (!way || readOnly) return;
    e.preventDefault();
    const step = e.shiftKey ? 10 : STEP_MM;
    settle(item, 1000 * item.x_m + way[0] * step, 1000 * item.y_m + way[1] * step);
  };

  const words = moving ? trouble(face.items.find((/** @type {any} */ i) => i.id === moving.id), face, moving.x, moving.y, strip, sheet) : "";
  const id = `body.panels[${face.id}]`;
  return html`<article class="face">
    <h3>${face.id} <span class="quiet">${face.kind}${face.host ? ` of ${face.host}` : ""}, ${length(face.width_m)} × ${length(face.height_m)}, ${length(face.depth_m)} deep; ${figure(`${id}.used_share`, `${Math.round(100 * face.used_share)} %`)} covered</span></h3>
    <svg class="face-drawing" viewBox=${`${-pad} ${-pad} ${wide + 2 * pad} ${high + 2 * pad}`} role="group" aria-label=${`${face.id} from the front, ${face.items.length} things`}>
      <rect class="face-sheet" x="0" y="0" width=${wide} height=${high} rx=${1000 * sheet.corner} />
      ${sheet.fixings.map((/** @type {number[]} */ p) => html`<circle class="face-hole" cx=${1000 * p[0]} cy=${high - 1000 * p[1]} r=${500 * sheet.fixing_hole} />`)}
      ${face.items.map((/** @type {any} */ item) => {
        const own = moving?.id === item.id;
        const x = own ? moving.x : 1000 * item.x_m;
        const y = own ? moving.y : 1000 * item.y_m;
        const bad = own ? words : (item.gap_m !== null && item.gap_m < 0) || item.needs_m > item.room_m + 1e-9 || item.edge_m < 0;
        const c = covers(item, x, y, strip);
        const w = 1000 * (item.cut_width_m ?? item.bezel_width_m);
        const t = 1000 * (item.cut_height_m ?? item.bezel_height_m);
        const size = Math.min(Math.max(wide, high) / 20, 1.6 * w / Math.max(item.id.length + (bad ? 2 : 0), 4));
        return html`<g key=${item.id} class=${`face-item${own ? " moving" : ""}${bad ? " bad" : ""}${picked === item.id ? " picked" : ""}`} tabindex="0" role="button" aria-label=${`${item.id}, ${mm(item.x_m)} mm across, ${mm(item.y_m)} mm up${bad ? ", does not fit" : ""}`}
          onPointerDown=${(/** @type {any} */ e) => down(item, e)} onPointerMove=${(/** @type {any} */ e) => move(item, e)} onPointerUp=${() => up(item)} onPointerCancel=${() => setMoving(null)} onKeyDown=${(/** @type {any} */ e) => key(item, e)} onFocus=${() => setPicked(item.id)}>
          <rect class="face-bezel" x=${c[0]} y=${high - c[3]} width=${c[2] - c[0]} height=${c[3] - c[1]} />
          <rect class="face-cut" x=${x - w / 2} y=${high - y - t / 2} width=${w} height=${t} rx=${1000 * (item.cut_corner_m ?? 0)} />
          <text x=${x} y=${high - y + size / 3} font-size=${size}>${bad ? "✕ " : ""}${item.id}</text>
        </g>`;
      })}
    </svg>
    <p class="face-says" role="status">${moving ? `${moving.id}: ${moving.x} mm across, ${moving.y} mm up${words ? ` – ${words}` : ""}` : readOnly ? "" : "Drag a cut-out, or focus it and use the arrow keys (with Shift by 10 mm)."}</p>
    <div class="wide-table" tabindex="0" role="region" aria-label=${`What sits on ${face.id}`}><table>
      <thead><tr><th scope="col">On ${face.id}</th><th scope="col" class="n">x mm</th><th scope="col" class="n">y mm</th><th scope="col" class="n">beside mm</th><th scope="col" class="n">edge mm</th><th scope="col" class="n">needs mm</th><th scope="col" class="n">has mm</th><th scope="col" class="n">reach mm</th></tr></thead>
      <tbody>${face.items.map((/** @type {any} */ i) => html`<tr key=${i.id} class=${picked === i.id ? "own" : ""}><th scope="row">${i.id}<small>${i.how}${i.behind ? `; behind it ${i.behind}` : ""}</small></th>
        <td class="n">${figure(`${id}.items[${i.id}].x_m`, mm(i.x_m))}</td><td class="n">${figure(`${id}.items[${i.id}].y_m`, mm(i.y_m))}</td>
        <td class="n">${i.gap_m === null ? "–" : html`${i.gap_m < 0 ? "✕ " : ""}${figure(`${id}.items[${i.id}].gap_m`, mm(i.gap_m))}`}</td><td class="n">${figure(`${id}.items[${i.id}].edge_m`, mm(i.edge_m))}</td>
        <td class="n">${i.needs_m > i.room_m + 1e-9 ? "✕ " : ""}${figure(`${id}.items[${i.id}].needs_m`, mm(i.needs_m))}</td><td class="n">${figure(`${id}.items[${i.id}].room_m`, mm(i.room_m))}</td>
        <td class="n">${i.reach_m === null ? "–" : figure(`${id}.items[${i.id}].reach_m`, mm(i.reach_m))}</td></tr>`)}</tbody></table></div>
    ${face.moves.length ? html`<p>${face.moves.map((/** @type {any} */ m) => `${m.id} ${m.way}, ${mm(m.stands_out_m)} mm into the room${m.blocked_by.length ? ` – ✕ meets ${m.blocked_by.join(", ")}` : ""}`).join("; ")}.</p>` : null}
    ${face.service.length ? html`<p>${face.service.map((/** @type {any} */ s) => `${s.id} from the ${s.side}${s.opens.length ? `, ${s.opens.join(", ")} open` : ""}${s.takes_out.length ? `, after ${s.takes_out.join(", ")} came out` : ""}`).join("; ")}.</p>` : null}
    <p><a href=${`${bench.at}/papers/faces/${face.id}.dxf`} download>Cut file (DXF)</a> · <a href=${`${bench.at}/papers/faces/${face.id}.svg`}>Drawing</a></p>
  </article>`;
}

/** @param {any} props */
export function Faces(props) {
  const panels = props.body.panels ?? [];
  if (panels.length === 0) return html`<p class="empty">No face is on record under <code>panels:</code> in the build.</p>`;
  const bare = { edge: 0.01, gap: 0.006, cable: 0.04, legend: 0.003, corner: 0, fixings: [], fixing_hole: 0.0045 };
  return html`<div class="face-list">${panels.map((/** @type {any} */ face) => html`<${Face} key=${face.id} face=${face} sheet=${props.faceSheets[face.id] ?? bare} bench=${props.bench} readOnly=${props.readOnly} figure=${props.figure} length=${props.length} />`)}</div>`;
}
