// What a timeline shows at an instant, and on average. Times are whole milliseconds, spans half-open.

/**
 * @typedef {[number, [number, number, number, number][]]} Timeline  period in ms, spans [start, end, from, to]
 * @typedef {[string, Timeline][]} Lit  colour and timeline of what burns
 */

/**
 * @param {Timeline} timeline
 * @param {number} ms
 * @returns {number} intensity 0 to 1
 */
export function intensityAt([period, spans], ms) {
  const t = ((ms % period) + period) % period;
  for (const [start, end, from, to] of spans) {
    if (start <= t && t < end) return from + ((to - from) * (t - start)) / (end - start);
  }
  return 0;
}

/** @param {Timeline} timeline @returns {number} mean intensity over one period */
export function meanIntensity([period, spans]) {
  return spans.reduce((sum, [start, end, from, to]) => sum + ((end - start) * (from + to)) / 2, 0) / period;
}

/** @param {Timeline} timeline @returns {boolean} lit at one intensity throughout */
export function isSteady([period, spans]) {
  if (!spans.length) return false;
  const level = spans[0][2];
  let reached = 0;
  for (const [start, end, from, to] of spans) {
    if (start !== reached || from !== level || to !== level) return false;
    reached = end;
  }
  return reached === period;
}

/**
 * The colour a lamp shows at an instant: the strongest of what burns.
 * @param {Lit} lit
 * @param {number} ms
 * @returns {{colour: string, intensity: number}[]}
 */
export function shownAt(lit, ms) {
  const shown = [];
  for (const [colour, timeline] of lit) {
    const intensity = intensityAt(timeline, ms);
    if (intensity > 0) shown.push({ colour, intensity });
  }
  return shown;
}
