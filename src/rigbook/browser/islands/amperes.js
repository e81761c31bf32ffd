// Amperes of the present state, from the currents of the build and the timelines of what burns.
import { meanIntensity } from "./timelines.js";

/**
 * @typedef {{device: number | null, name: string, channel: string, when: "colour" | "state" | "live", current_a: number, feed: string | null, factory: boolean}} Draw
 * @typedef {{id: string, parent: string | null, fuse_a: number}} Feed
 * @typedef {{lit: import("./timelines.js").Lit[], driven: (string | null)[], feeds_live: boolean[], deciding: (number | null)[]}} Outcome
 * @typedef {{draw: Draw, share: number, average_a: number}} Term
 */

/**
 * What flows: a colour by its mean intensity, a device by the state it is driven into, anything else while its feed is
 * live, a factory lamp once a function has taken it.
 * @param {Draw[]} draws
 * @param {Outcome} outcome
 * @param {Map<string, number>} feedIndex  feed id to its index in the program
 * @returns {Term[]}
 */
export function terms(draws, outcome, feedIndex) {
  return draws
    .map((draw) => ({ draw, share: shareOf(draw, outcome, feedIndex) }))
    .filter((t) => t.share > 0)
    .map((t) => ({ ...t, average_a: t.draw.current_a * t.share }));
}

/** @param {Term[]} flowing */
export const sum = (flowing) => flowing.reduce((total, t) => total + t.average_a, 0);

/** @param {Draw} draw @param {Outcome} outcome @param {Map<string, number>} feedIndex */
function shareOf(draw, outcome, feedIndex) {
  if (draw.factory && (draw.device === null || outcome.deciding[draw.device] === null)) return 0;
  if (draw.when === "live") {
    const feed = draw.feed === null ? undefined : feedIndex.get(draw.feed);
    return feed === undefined || outcome.feeds_live[feed] ? 1 : 0;
  }
  if (draw.device === null) return 0;
  if (draw.when === "state") return outcome.driven[draw.device] === draw.channel ? 1 : 0;
  const burning = outcome.lit[draw.device].find(([colour]) => colour === draw.channel);
  return burning ? meanIntensity(burning[1]) : 0;
}

/**
 * What flows through each feed: its own and everything below it.
 * @param {Feed[]} feeds
 * @param {Term[]} flowing
 * @returns {Map<string, Term[]>}
 */
export function byFeed(feeds, flowing) {
  const parents = new Map(feeds.map((f) => [f.id, f.parent]));
  /** @type {Map<string, Term[]>} */
  const found = new Map(feeds.map((f) => [f.id, []]));
  for (const term of flowing) {
    for (let at = /** @type {string | null | undefined} */ (term.draw.feed); at; at = parents.get(at)) found.get(at)?.push(term);
  }
  return found;
}

/**
 * The charging system in a state: its hot output at idle, or at the engine speed of a saved state; 0 while the engine rests.
 * @param {{idle_output_a: number | null, running: any, base: Record<string, number>, key_off_a: number}} charging
 * @param {boolean} running
 * @param {Term[]} flowing
 * @param {{output_a: number | null} | null} saved  of a saved state
 */
export function charge(charging, running, flowing, saved) {
  const base = running ? Object.entries(charging.base) : [["key off", charging.key_off_a]];
  const drawn_a = sum(flowing) + base.reduce((total, [, a]) => total + Number(a), 0);
  const output_a = saved ? saved.output_a : running ? charging.idle_output_a : 0;
  return { base, drawn_a, output_a, margin_a: output_a === null ? null : output_a - drawn_a };
}

/** @param {number} a */
const short = (a) => String(Number(a.toPrecision(4)));

/** The terms as lines of a hand calculation. @param {Term[]} flowing @returns {string[]} */
export function lines(flowing) {
  const rows = flowing.map((t) => `  ${t.draw.name} ${t.draw.channel}: ${short(t.draw.current_a)} A${t.share === 1 ? "" : ` x ${short(t.share)} of the time = ${short(t.average_a)} A`}${t.draw.factory ? " (factory lamp)" : ""}`);
  return [...(rows.length ? rows : ["  nothing flows"]), `  = ${short(sum(flowing))} A`];
}

/** @param {ReturnType<typeof charge>} found @param {Term[]} flowing @param {boolean} running @param {string} speed */
export function chargeLines(found, flowing, running, speed) {
  const rows = found.base.map(([name, a]) => `  ${name}: ${short(Number(a))} A`);
  return [
    `  equipment and factory lamps taken: ${short(sum(flowing))} A`, ...rows, `  drawn = ${short(found.drawn_a)} A`,
    `  output, hot, ${running ? speed : "engine at rest"}: ${found.output_a === null ? "not stated" : `${short(found.output_a)} A`}`,
    ...(found.margin_a === null ? [] : [`  margin = output - drawn = ${short(found.margin_a)} A`]),
  ];
}
