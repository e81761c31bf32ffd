// Amperes of the present state, from the currents of the build and the timelines of what burns.
import { meanIntensity } from "./timelines.js";

/**
 * @typedef {{device: number | null, channel: string, when: "colour" | "state" | "live", current_a: number, feed: string | null}} Draw
 * @typedef {{id: string, parent: string | null, fuse_a: number}} Feed
 * @typedef {{lit: import("./timelines.js").Lit[], driven: (string | null)[], feeds_live: boolean[]}} Outcome
 */

/**
 * Average current of every draw: a colour by its mean intensity, a device by the state it is driven into, anything
 * else while its feed is live.
 * @param {Draw[]} draws
 * @param {Outcome} outcome
 * @param {Map<string, number>} feedIndex  feed id to its index in the program
 * @returns {{whole: number, byFeed: Map<string, number>}}
 */
export function amperes(draws, outcome, feedIndex) {
  let whole = 0;
  const byFeed = new Map();
  for (const draw of draws) {
    const current = averageOf(draw, outcome, feedIndex);
    whole += current;
    if (draw.feed) byFeed.set(draw.feed, (byFeed.get(draw.feed) ?? 0) + current);
  }
  return { whole, byFeed };
}

/** @param {Draw} draw @param {Outcome} outcome @param {Map<string, number>} feedIndex */
function averageOf(draw, outcome, feedIndex) {
  if (draw.when === "live") {
    const feed = draw.feed === null ? undefined : feedIndex.get(draw.feed);
    return feed === undefined || outcome.feeds_live[feed] ? draw.current_a : 0;
  }
  if (draw.device === null) return 0;
  if (draw.when === "state") return outcome.driven[draw.device] === draw.channel ? draw.current_a : 0;
  const burning = outcome.lit[draw.device].find(([colour]) => colour === draw.channel);
  return burning ? draw.current_a * meanIntensity(burning[1]) : 0;
}

/**
 * Each feed with everything below it.
 * @param {Feed[]} feeds
 * @param {Map<string, number>} own
 * @returns {Map<string, number>}
 */
export function withBelow(feeds, own) {
  const parents = new Map(feeds.map((f) => [f.id, f.parent]));
  const sums = new Map(feeds.map((f) => [f.id, 0]));
  for (const [id, current] of own) {
    for (let at = /** @type {string | null | undefined} */ (id); at; at = parents.get(at)) sums.set(at, (sums.get(at) ?? 0) + current);
  }
  return sums;
}
