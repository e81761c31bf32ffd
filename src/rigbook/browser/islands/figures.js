// Live figures: amperes whole and by feed, lit zones by colour letter, and what is lit, in words.
import { h } from "preact";
import htm from "htm";
import { byFeed, charge, chargeLines, lines as linesOf, sum } from "./amperes.js";
import { Figure, openLines } from "./explain.js";
import { isSteady, meanIntensity } from "./timelines.js";

const html = htm.bind(h);
const ZONES = ["front", "right", "rear", "left"];

/** @param {number} amperes */
const shown = (amperes) => amperes.toFixed(amperes < 9.995 ? 2 : 1);

/** @param {{colour: string, letters: Record<string, string>}} props */
function Chip({ colour, letters }) {
  return html`<b class=${"chip chip-" + colour} title=${colour}>${letters[colour] ?? "?"}</b>`;
}

/** @param {any[]} devices @param {any} outcome */
function zonesLit(devices, outcome) {
  /** @type {Record<string, Set<string>>} */
  const found = Object.fromEntries(ZONES.map((z) => [z, new Set()]));
  outcome.lit.forEach((/** @type {any} */ lit, /** @type {number} */ device) => {
    for (const [colour] of lit) for (const zone of outcome.zones[device]) found[zone]?.add(colour);
  });
  return found;
}

/** Lamps that share a row and show the same are one line. @param {any[]} devices @param {any} outcome */
function litLines(devices, outcome) {
  const lines = new Map();
  devices.forEach((device, i) => {
    for (const [colour, timeline] of outcome.lit[i]) {
      const how = isSteady(timeline) ? "steady-burning" : "flashing";
      const row = device.id.split(".")[0];
      const key = `${row} ${colour} ${how}`;
      const line = lines.get(key) ?? { row, colour, how, count: 0, mean: 0 };
      line.count += 1;
      line.mean += meanIntensity(timeline);
      lines.set(key, line);
    }
  });
  return [...lines.values()];
}

/** A figure of this very state, worked out in the page: opens its terms. @param {{title: string, lines: () => string[], children: any, id?: string}} props */
function Live({ title, lines, children, id }) {
  return html`<button type="button" class="link figure" id=${id} title="How it is worked out" onClick=${() => openLines(title, lines())}>${children}</button>`;
}

/** @param {{layout: any, flowing: any[], running: boolean, saved: any, at: string}} props */
function Charging({ layout, flowing, running, saved, at }) {
  const found = charge(layout.charging, running, flowing, saved?.supply ?? null);
  const speed = saved?.supply ? "at the engine speed of the saved state" : "at idle";
  const lines = () => chargeLines(found, flowing, running, speed);
  const of = saved?.supply ? (/** @type {string} */ key, /** @type {any} */ words) => html`<${Figure} at=${at} id=${`power.supply.states[${saved.id}].${key}`}>${words}<//>` : (/** @type {string} */ _, /** @type {any} */ words) => html`<${Live} title="Charging in this state" lines=${lines}>${words}<//>`;
  return html`<p class="quiet">With the vehicle's own load <span id="drawn-amperes">${of("average_a", `${found.drawn_a.toFixed(1)} A`)}</span>;${" "}
    ${found.margin_a === null ? "no charging output stated." : html`charging margin, hot, ${running ? speed : "engine at rest"}: <span id="margin-amperes" class=${found.margin_a < 0 ? "bad" : ""}>${of("margin_a", `${found.margin_a < 0 ? "−" : "+"}${Math.abs(found.margin_a).toFixed(1)} A`)}</span>.`}</p>`;
}

/** @param {{devices: any[], layout: any, outcome: any, flowing: any[], running: boolean, saved: any, at: string}} props */
export function Figures({ devices, layout, outcome, flowing, running, saved, at }) {
  const zones = zonesLit(devices, outcome);
  const lines = litLines(devices, outcome);
  const driven = devices.map((d, i) => [d, outcome.driven[i], i]).filter(([, state]) => state !== null);
  const own = flowing.filter((t) => !t.draw.factory);
  const feeds = byFeed(layout.feeds, own);
  return html`<h2>In this state</h2>
    <div class="figure-grid">
      <div class="figure-card">
        <h3>Equipment, average current</h3>
        <p class="big-number" aria-live="polite"><${Live} title="Average current of the equipment in this state" lines=${() => linesOf(own)}><span id="whole-amperes">${shown(sum(own))}</span> <small>A</small><//></p>
        <${Charging} layout=${layout} flowing=${flowing} running=${running} saved=${saved} at=${at} />
        <table>
          <thead><tr><th scope="col">Feed</th><th scope="col" class="n">now A</th><th scope="col" class="n">fuse A</th></tr></thead>
          <tbody>
            ${layout.feeds.map((/** @type {any} */ f) => html`<tr key=${f.id} data-feed=${f.id}><td>${f.id}</td>
              <td class="n"><${Live} title=${`Average current of ${f.id} in this state`} lines=${() => linesOf(feeds.get(f.id) ?? [])}>${shown(sum(feeds.get(f.id) ?? []))}<//></td>
              <td class="n">${f.fuse_a === null ? "–" : layout.found.includes(f.id) ? html`<${Figure} at=${at} id=${`power.feeds[${f.id}].fuse_a`}>${f.fuse_a}<//>` : f.fuse_a}</td></tr>`)}
          </tbody>
        </table>
        <p class="quiet">Currents as entered, averaged over the flash, without inrush. A feed counts what hangs below it.</p>
      </div>
      <div class="figure-card">
        <h3>${layout.words.colours_seen}</h3>
        <ul class="zones">
          ${ZONES.map((z) => html`<li key=${z} data-zone=${z}><span>${z}</span>${zones[z].size ? [...zones[z]].map((c) => html`<${Chip} key=${c} colour=${c} letters=${layout.letters} /> `) : html`<i class="quiet">dark</i>`}</li>`)}
        </ul>
      </div>
      <div class="figure-card">
        <h3>What is on</h3>
        ${lines.length + driven.length === 0 && html`<p class="quiet">Nothing.</p>`}
        <table>
          <tbody>
            ${lines.map((l) => html`<tr key=${l.row + l.colour + l.how}><td><${Chip} colour=${l.colour} letters=${layout.letters} /></td><td>${l.row}${l.count > 1 ? ` × ${l.count}` : ""}</td><td>${l.how}</td></tr>`)}
            ${driven.map(([d, state]) => html`<tr key=${d.id}><td></td><td>${d.id}</td><td>${state}</td></tr>`)}
          </tbody>
        </table>
      </div>
    </div>`;
}
