// @ts-check
/**
 * The compiled switching program in the browser: the same evaluation and stepping as the Python package, from the
 * JSON of `program_to_json` alone. No dependencies, no document.
 *
 * A state is an array of value indexes, one a variable; `lost` holds indexes of data-bus signals that are lost.
 * Times are whole milliseconds.
 *
 * @typedef {any[]} Expression  nested lists that begin with a word
 * @typedef {[number, number[][]]} Timeline  [period_ms, [[start_ms, end_ms, intensity_from, intensity_to], …]]
 * @typedef {[string, Timeline][]} Lit  colours that burn
 * @typedef {object} Outcome
 * @property {boolean[]} active  by function, after `if_unknown`
 * @property {(number|null)[]} deciding  by device: function that decides, or null
 * @property {number[]} content  by device: what was decided, rest where nothing was
 * @property {number[]} factor  by device: what active dims leave, 0 to 1
 * @property {(number|null)[]} dimmed_by  by device: the dim that set the factor
 * @property {boolean[]} feeds_live  by feed
 * @property {Lit[]} lit  by device: after dims and feeds
 * @property {(string|null)[]} driven  by device: its state, null without power or for lamps
 * @property {string[][]} zones  by device: zones it shows to with its present pose
 */

/** @typedef {{taps: Set<number>, before: Map<string, boolean>}} Events */

const NO_EVENTS = null;
const EVERY_CHANNEL = '*';
const RUN_OUT = 0;
const AT_MOST = 1;

/**
 * Strong three-valued logic: true, false, and null for unknown.
 * @param {any} data @param {Expression} expression @param {number[]} state @param {Set<number>} lost
 * @param {Events|null} events
 * @returns {boolean|null}
 */
function kleene(data, expression, state, lost, events) {
  switch (expression[0]) {
    case 'constant':
      return expression[1];
    case 'is':
      return lost.has(expression[1]) ? null : expression[2].includes(state[expression[1]]);
    case 'not': {
      const of = kleene(data, expression[1], state, lost, events);
      return of === null ? null : !of;
    }
    case 'all': {
      let unknown = false;
      for (const part of expression[1]) {
        const value = kleene(data, part, state, lost, events);
        if (value === false) return false;
        if (value === null) unknown = true;
      }
      return unknown ? null : true;
    }
    case 'any': {
      let unknown = false;
      for (const part of expression[1]) {
        const value = kleene(data, part, state, lost, events);
        if (value === true) return true;
        if (value === null) unknown = true;
      }
      return unknown ? null : false;
    }
    case 'condition':
      return kleene(data, data.conditions[expression[1]][1], state, lost, events);
    case 'tap':
      return events !== null && events.taps.has(expression[1]);
    case 'rises':
      return (
        events !== null &&
        !events.before.get(JSON.stringify(expression[1])) &&
        kleene(data, expression[1], state, lost, events) === true
      );
    default:
      throw new Error(`unknown expression ${expression[0]}`);
  }
}

/** @type {Set<number>} */
const NONE_LOST = new Set();

/** @param {Timeline} timeline @param {number} factor @returns {Timeline} */
function scaled(timeline, factor) {
  if (factor === 1) return timeline;
  return [timeline[0], timeline[1].map(([start, end, from, to]) => [start, end, from * factor, to * factor])];
}

/** Lit at one intensity throughout. @param {Timeline} timeline */
export function isSteady(timeline) {
  const levels = new Set(timeline[1].flatMap((span) => [span[2], span[3]]));
  const lit = timeline[1].reduce((sum, span) => sum + span[1] - span[0], 0);
  return levels.size === 1 && lit === timeline[0];
}

/** Intensity at an instant, 0 where dark. @param {Timeline} timeline @param {number} at_ms */
export function intensityAt(timeline, at_ms) {
  const at = ((at_ms % timeline[0]) + timeline[0]) % timeline[0];
  for (const [start, end, from] of timeline[1]) if (start <= at && at < end) return from;
  return 0;
}

/** Feeds that must be live for a colour or state of a device. @param {any} device @param {string} channel */
function feedsOf(device, channel) {
  const named = device.feeds.filter((/** @type {any[]} */ pair) => pair[0] === channel);
  const found = named.length ? named : device.feeds.filter((/** @type {any[]} */ pair) => pair[0] === EVERY_CHANNEL);
  return found.map((/** @type {any[]} */ pair) => pair[1]);
}

/** A compiled program. Make one with `load`. */
export class Program {
  /** @param {any} data what `program_to_json` gave */
  constructor(data) {
    if (!data || data.program !== 1) throw new Error('this is no compiled program of this edition');
    this.data = data;
    /** @type {any[]} */
    this.variables = data.variables;
    /** @type {number[]} */
    this.rest = data.rest;
  }

  /** @param {Expression|null|undefined} expression @param {number[]} state */
  holds(expression, state) {
    return expression != null && kleene(this.data, expression, state, NONE_LOST, NO_EVENTS) === true;
  }

  /** Known to hold with lost signals. @param {Expression|null|undefined} expression @param {number[]} state @param {Set<number>} lost */
  known(expression, state, lost) {
    return expression != null && kleene(this.data, expression, state, lost, NO_EVENTS) === true;
  }

  /**
   * Work out one state.
   * @param {number[]} state @param {Iterable<number>} [lost]
   * @returns {Outcome}
   */
  evaluate(state, lost = []) {
    const gone = new Set(lost);
    const active = this.data.functions.map((/** @type {any} */ f) => {
      const value = kleene(this.data, f.when, state, gone, NO_EVENTS);
      return value === null ? f.if_unknown : value;
    });
    const decisions = this.data.devices.map((/** @type {any} */ d) => this.decide(d, active));
    const live = this.feedsLive(state, gone, decisions);
    return {
      active,
      deciding: decisions.map((/** @type {any} */ d) => d.deciding),
      content: decisions.map((/** @type {any} */ d) => d.content),
      factor: decisions.map((/** @type {any} */ d) => d.factor),
      dimmed_by: decisions.map((/** @type {any} */ d) => d.dimmed_by),
      feeds_live: live,
      lit: this.data.devices.map((/** @type {any} */ d, /** @type {number} */ i) => this.litOf(d, decisions[i], state, live)),
      driven: this.data.devices.map((/** @type {any} */ d, /** @type {number} */ i) => this.drivenOf(d, decisions[i], live)),
      zones: this.data.devices.map((/** @type {any} */ d) => this.presentZones(d, state)),
    };
  }

  /** @param {any} device @param {boolean[]} active */
  decide(device, active) {
    for (const [deciding, kind, content] of device.entries) {
      if (!active[deciding]) continue;
      if (kind === 'show' && !this.data.contents[content].undimmed) {
        for (const [dim, to] of device.dims) if (active[dim]) return { deciding, content, factor: to, dimmed_by: dim };
      }
      return { deciding, content, factor: 1, dimmed_by: null };
    }
    return { deciding: null, content: device.rest, factor: 1, dimmed_by: null };
  }

  /** @param {number[]} state @param {Set<number>} lost @param {any[]} decisions @returns {boolean[]} */
  feedsLive(state, lost, decisions) {
    const { feeds, devices, contents, shedding } = this.data;
    let shed = 0;
    for (const [step, when] of shedding) if (step > shed && this.known(when, state, lost)) shed = step;
    /** @type {Map<number, boolean>} */
    const known = new Map();
    const live = (/** @type {number} */ index) => {
      const found = known.get(index);
      if (found !== undefined) return found;
      const feed = feeds[index];
      const value =
        (feed.live_when === null || this.holds(feed.live_when, state)) &&
        !(feed.sheds !== null && feed.sheds <= shed) &&
        (feed.above === null || live(feed.above)) &&
        (feed.through === null || closed(feed.through));
      known.set(index, value);
      return value;
    };
    const closed = (/** @type {number} */ relay) => {
      const device = devices[relay];
      const decided = contents[decisions[relay].content].state;
      if (decided !== undefined && feedsOf(device, decided).every(live)) return decided === 'closed';
      return contents[device.rest].state === 'closed';
    };
    return feeds.map((/** @type {any} */ _, /** @type {number} */ index) => live(index));
  }

  /** @param {any} device @param {any} decision @param {number[]} state @param {boolean[]} live @returns {Lit} */
  litOf(device, decision, state, live) {
    const content = this.data.contents[decision.content];
    if (!content.channels) return [];
    if (content.commanded && !this.holds(device.commanded_when, state)) return [];
    return content.channels
      .filter((/** @type {any[]} */ [colour, timeline]) => timeline[1].length && feedsOf(device, colour).every((/** @type {number} */ f) => live[f]))
      .map((/** @type {any[]} */ [colour, timeline]) => [colour, scaled(timeline, decision.factor)]);
  }

  /** @param {any} device @param {any} decision @param {boolean[]} live @returns {string|null} */
  drivenOf(device, decision, live) {
    const state = this.data.contents[decision.content].state;
    if (state !== undefined && feedsOf(device, state).every((/** @type {number} */ f) => live[f])) return state;
    if (device.kind === 'relay') return this.data.contents[device.rest].state ?? null;
    return null;
  }

  /** @param {any} device @param {number[]} state @returns {string[]} */
  presentZones(device, state) {
    for (const [when, zones] of device.poses) if (when === null || this.holds(when, state)) return zones;
    return [];
  }

  /**
   * Whether a requirement holds: names by true values, predicates by what happens with `lost`.
   * @param {number} index @param {number[]} state @param {Iterable<number>} [lost]
   */
  requirementHolds(index, state, lost = []) {
    return !this.test(this.data.requirements[index].never, state, this.evaluate(state, lost));
  }

  /** A requirement expression on an outcome. @param {any[]} e @param {number[]} state @param {Outcome} outcome @returns {boolean} */
  test(e, state, outcome) {
    const shows = (/** @type {string|null} */ wanted, /** @type {number} */ i) =>
      outcome.lit[i].filter(([colour]) => wanted === null || wanted === colour);
    switch (e[0]) {
      case 'not':
        return !this.test(e[1], state, outcome);
      case 'all':
        return e[1].every((/** @type {any[]} */ part) => this.test(part, state, outcome));
      case 'any':
        return e[1].some((/** @type {any[]} */ part) => this.test(part, state, outcome));
      case 'lit':
        return e[1].some((/** @type {number} */ i) => shows(e[2], i).length > 0);
      case 'all_lit': {
        const able = e[1].filter((/** @type {number} */ i) => e[2] === null || this.data.devices[i].colours.includes(e[2]));
        return able.length > 0 && able.every((/** @type {number} */ i) => shows(e[2], i).length > 0);
      }
      case 'steady':
        return e[1].some((/** @type {number} */ i) => shows(e[2], i).some(([, timeline]) => isSteady(timeline)));
      case 'flashing':
        return e[1].some((/** @type {number} */ i) => shows(e[2], i).some(([, timeline]) => !isSteady(timeline)));
      case 'seen':
        return this.data.devices.some((/** @type {any} */ _, /** @type {number} */ i) => outcome.zones[i].includes(e[1]) && shows(e[2], i).length > 0);
      case 'driven':
        return outcome.driven[e[1]] === e[2];
      default:
        return this.holds(e, state);
    }
  }
}

/** Make a program from its JSON (an object, or its text). @param {any} json */
export function load(json) {
  return new Program(typeof json === 'string' ? JSON.parse(json) : json);
}

/** One state worked out. @param {Program} program @param {number[]} state @param {Iterable<number>} [lost] */
export function evaluate(program, state, lost = []) {
  return program.evaluate(state, lost);
}

/** An event that cannot be. `file` and `line` name the rule, where one does. */
export class StepError extends Error {
  /** @param {string} says @param {string} [file] @param {number} [line] */
  constructor(says, file = '', line = 0) {
    super(says);
    this.name = 'StepError';
    this.says = says;
    this.file = file;
    this.line = line;
  }
}

/** @param {Expression|undefined} expression @param {Expression[]} found */
function risesIn(expression, found) {
  if (!expression) return;
  if (expression[0] === 'rises') found.push(expression[1]);
  else if (expression[0] === 'not') risesIn(expression[1], found);
  else if (expression[0] === 'all' || expression[0] === 'any') for (const part of expression[1]) risesIn(part, found);
}

/** A program being operated: the same events give the same outcome as in the Python package. */
export class Stepper {
  /** @param {Program} program @param {number[]|null} [state] rest where left out; delays begin now */
  constructor(program, state = null) {
    this.program = program;
    const data = program.data;
    this.index = new Map(data.variables.map((/** @type {any} */ v, /** @type {number} */ i) => [v.name, i]));
    /** @type {number[]} */
    this.values = [...(state ?? data.rest)];
    this.true_values = [...this.values];
    /** @type {Set<number>} */
    this.lost = new Set();
    this.now_ms = 0;
    /** @type {Map<string, {at: number, which: [number, number, number]}>} */
    this.due = new Map();
    /** @type {Set<number>} */
    this.blocked = new Set();
    /** @type {Map<number, number>} */
    this.pause_until = new Map();
    /** @type {Map<number, boolean>} */
    this.last = new Map();
    /** @type {Map<string, boolean>} */
    this.before = new Map();
    /** @type {Set<number>} */
    this.taps = new Set();
    /** @type {Set<number>} */
    this.ready = new Set();
    this.place = new Map(data.settle_order.map((/** @type {number} */ v, /** @type {number} */ n) => [v, n]));
    /** @type {Expression[]} */
    const rises = [];
    for (const v of data.variables) for (const key of ['set_when', 'clear_when', 'next_on', 'condition']) risesIn(v[key], rises);
    /** @type {[string, Expression][]} */
    this.rising = [...new Map(rises.map((e) => [JSON.stringify(e), e])).entries()];
    this.limit = 3 * (data.variables.length + 2);
    this._start();
  }

  /** The present state. */
  get state() {
    return [...this.values];
  }

  /** When the next delay, settling or hold ends; null where none runs. */
  get next_due_ms() {
    let first = null;
    for (const { at } of this.due.values()) if (first === null || at < first) first = at;
    return first;
  }

  /** The present value of a variable by name. @param {string} name */
  value(name) {
    const at = this._named(name);
    return this.program.variables[at].values[this.values[at]];
  }

  /** A stepper that goes on from here on its own. */
  copy() {
    /** @type {Stepper} */
    const other = Object.assign(Object.create(Stepper.prototype), this);
    other.values = [...this.values];
    other.true_values = [...this.true_values];
    other.lost = new Set(this.lost);
    other.due = new Map(this.due);
    other.blocked = new Set(this.blocked);
    other.pause_until = new Map(this.pause_until);
    other.last = new Map(this.last);
    other.before = new Map(this.before);
    other.taps = new Set();
    other.ready = new Set(this.ready);
    return other;
  }

  // -- switches

  /** Press a latching or momentary switch. @param {string} name */
  press(name) {
    const [at, v] = this._switch(name, 'pressed');
    if (v.switch_kind === 'momentary') {
      if (this.values[at]) throw new StepError(`${name} is pressed already`);
      this.values[at] = 1;
      if (v.tap_under_ms !== undefined) this._put([0, at, 0], v.tap_under_ms);
    } else if (v.switch_kind === 'latching') {
      if (this._known(v.releases_when)) return;
      this.values[at] = 1 - this.values[at];
      if (this.values[at]) {
        for (const group of this.program.data.exclusive) {
          if (group.includes(at)) for (const other of group) if (other !== at) this.values[other] = 0;
        }
      }
    } else {
      throw new StepError(`${name} is a ${v.switch_kind}: it is set to a position, not pressed`);
    }
    this._settle();
  }

  /** Let a momentary switch, or a position that springs back, go. @param {string} name */
  release(name) {
    const [at, v] = this._switch(name, 'released');
    const before = this.values[at];
    if (v.switch_kind !== 'momentary') {
      const spring = (v.springs_back ?? []).find((/** @type {number[]} */ pair) => pair[0] === before);
      if (!spring) throw new StepError(`${name} is in no position that springs back`);
      this.values[at] = spring[1];
      this._settle();
      return;
    }
    if (!before) throw new StepError(`${name} is not pressed`);
    this.values[at] = 0;
    this._cancel([0, at, 0]);
    this._settle(v.tap_under_ms !== undefined && before === 1 ? [at] : []);
  }

  /** Press and release a momentary switch at once. @param {string} name */
  tap(name) {
    this._momentary(name);
    this.press(name);
    this.release(name);
  }

  /** Press a momentary switch and keep it until it counts as held. @param {string} name */
  hold(name) {
    const v = this._momentary(name);
    this.press(name);
    if (v.tap_under_ms !== undefined) this.wait(v.tap_under_ms);
  }

  /** Move one slide, rotary or rocker, or change signals, in one event. @param {Record<string, string>} changes */
  set(changes) {
    const names = Object.keys(changes);
    const kinds = new Set(names.map((name) => this.program.variables[this._named(name)].kind));
    if (kinds.size === 1 && kinds.has('signal')) {
      this._setSignals(changes);
      return;
    }
    if (names.length !== 1) throw new StepError('one switch, or signals alone, can be set in one event');
    const [at, v] = this._switch(names[0], 'set');
    if (v.switch_kind === 'latching' || v.switch_kind === 'momentary') {
      throw new StepError(`${names[0]} is a ${v.switch_kind} switch: it is pressed, not set`);
    }
    this.values[at] = this._value(v, changes[names[0]]);
    this._settle();
  }

  // -- signals

  /** A data-bus signal is lost. @param {string} name */
  lose(name) {
    const at = this._losable(name);
    if (this.lost.has(at)) throw new StepError(`${name} is lost already`);
    this.lost.add(at);
    this._settle();
  }

  /** A lost signal comes back, with its true value. @param {string} name */
  restore(name) {
    const at = this._losable(name);
    if (!this.lost.has(at)) throw new StepError(`${name} is not lost`);
    this.lost.delete(at);
    this._settle();
  }

  /** A recorded value of a measured signal (SI); it stands until the next one. @param {string} name @param {number} value */
  measure(name, value) {
    const at = this._named(name);
    const t = this.program.variables[at].threshold;
    if (!t) throw new StepError(`${name} measures nothing`);
    const below = t.side === 'below';
    const beyond = below ? value < t.at : value > t.at;
    const back = below ? value > t.clears : value < t.clears;
    /** @type {[number, number, number]} */
    const due = [1, at, 0];
    if (this.true_values[at]) {
      if (back) this._setSignals({ [name]: 'no' });
    } else if (!beyond) {
      this._cancel(due);
    } else if (t.for_ms === 0) {
      this._setSignals({ [name]: 'yes' });
    } else if (!this.due.has(String(due))) {
      this._put(due, t.for_ms);
    }
  }

  /** @param {Record<string, string>} changes */
  _setSignals(changes) {
    const wanted = [...this.true_values];
    for (const [name, text] of Object.entries(changes)) {
      const at = this._named(name);
      wanted[at] = this._value(this.program.variables[at], text);
    }
    for (const [expression, file, line] of this.program.data.impossible) {
      if (this.program.holds(expression, wanted)) {
        throw new StepError(`refused: ${file} line ${line} calls this impossible`, file, line);
      }
    }
    for (const name of Object.keys(changes)) {
      const at = this._named(name);
      this._arrive(at, wanted[at]);
    }
    this._takeReady();
  }

  /** @param {number} at @param {number} value */
  _arrive(at, value) {
    const v = this.program.variables[at];
    const moved = this.true_values[at] !== value;
    this.true_values[at] = value;
    if (this.values[at] === value) {
      this._cancel([1, at, 0]);
      this.ready.delete(at);
    } else if (!v.settles_ms || v.threshold) {
      this._cancel([1, at, 0]);
      this.ready.add(at);
    } else if (moved) {
      this._put([1, at, 0], v.settles_ms);
      this.ready.delete(at);
    }
  }

  /** @param {number[]} values */
  _isImpossible(values) {
    return this.program.data.impossible.some((/** @type {any[]} */ row) => this.program.holds(row[0], values));
  }

  _takeReady() {
    const values = [...this.values];
    for (const at of this.ready) values[at] = this.true_values[at];
    if (!this._isImpossible(values)) {
      this.values = values;
      this.ready.clear();
    }
    this._settle();
  }

  // -- time

  /** Let whole milliseconds pass; what falls due acts in order. @param {number} ms */
  wait(ms) {
    if (ms < 0) throw new StepError('time does not run backward');
    const end = this.now_ms + ms;
    for (;;) {
      /** @type {{at: number, which: [number, number, number]}|null} */
      let first = null;
      for (const one of this.due.values()) if (first === null || earlier(one, first)) first = one;
      if (first === null || first.at > end) break;
      this.now_ms = first.at;
      this.due.delete(String(first.which));
      this._fallDue(first.which);
    }
    this.now_ms = end;
  }

  /** @param {[number, number, number]} which */
  _fallDue([kind, place, end]) {
    if (kind === 0) {
      this.values[place] = 2;
      this._settle();
    } else if (kind === 2) {
      this._timerDue(place, end);
      this._settle();
    } else {
      this._signalDue(place);
    }
  }

  /** @param {number} at */
  _signalDue(at) {
    const threshold = this.program.variables[at].threshold;
    if (threshold) {
      const wanted = [...this.true_values];
      wanted[at] = 1;
      if (this._isImpossible(wanted)) {
        this._put([1, at, 0], threshold.for_ms);
        return;
      }
      this.true_values[at] = 1;
    }
    this.ready.add(at);
    this._takeReady();
  }

  // -- the repetition

  /** @param {Expression|null|undefined} expression */
  _known(expression) {
    if (expression == null) return false;
    return kleene(this.program.data, expression, this.values, this.lost, this) === true;
  }

  _start() {
    const { variables, settle_order } = this.program.data;
    variables.forEach((/** @type {any} */ v, /** @type {number} */ at) => {
      if (v.tap_under_ms !== undefined && this.values[at] === 1) this._put([0, at, 0], v.tap_under_ms);
    });
    for (const [key, expression] of this.rising) this.before.set(key, this._known(expression));
    for (const index of settle_order) {
      const v = variables[index];
      const edge = v.stepping ? v.next_on : v.timer_kind === 'pulse' ? v.condition : undefined;
      if (edge !== undefined) this.last.set(index, this._known(edge));
      if (v.timer_kind && this.values[index]) {
        if (v.timer_kind === 'pulse') this._putTimer(index, RUN_OUT, v.for_ms);
        else if (v.timer_kind === 'off_delay' && v.at_most_ms !== undefined) this._putTimer(index, AT_MOST, v.at_most_ms);
      }
      if (v.timer_kind === 'off_delay' && !this.values[index] && v.at_most_ms !== undefined && this._known(v.condition)) {
        this.blocked.add(index);
      }
    }
    this._settle();
  }

  /** @param {number[]} [taps] */
  _settle(taps = []) {
    this.taps = new Set(taps);
    for (let phase = 0; phase < this.limit; phase += 1) {
      let rounds = 0;
      while (this._round()) {
        rounds += 1;
        if (rounds > this.limit) throw this._endless();
      }
      const turned = this.taps.size > 0 || this.rising.some(([key, e]) => !this.before.get(key) && this._known(e));
      for (const [key, expression] of this.rising) this.before.set(key, this._known(expression));
      this.taps = new Set();
      if (!turned) return;
    }
    throw this._endless();
  }

  _endless() {
    this.taps = new Set();
    return new StepError('the repetition of releases, memories and timers does not end');
  }

  _round() {
    const { variables, settle_order } = this.program.data;
    let changed = false;
    variables.forEach((/** @type {any} */ v, /** @type {number} */ index) => {
      if (v.kind === 'switch' && this.values[index] && this._known(v.releases_when)) {
        this.values[index] = 0;
        changed = true;
      }
    });
    for (const index of settle_order) {
      const before = this.values[index];
      const v = variables[index];
      if (v.kind === 'memory') this._memory(index, v);
      else this._timer(index, v);
      changed = changed || this.values[index] !== before;
    }
    return changed;
  }

  /** @param {number} index @param {Expression} expression */
  _edge(index, expression) {
    const now = this._known(expression);
    const turned = now && !this.last.get(index);
    this.last.set(index, now);
    return turned;
  }

  /** @param {number} index @param {any} v */
  _memory(index, v) {
    if (v.stepping) {
      const turned = this._edge(index, v.next_on);
      if (this._known(v.first_when)) this.values[index] = 0;
      else if (turned) this.values[index] = (this.values[index] + 1) % v.values.length;
    } else if (this._known(v.clear_when)) {
      this.values[index] = 0;
    } else if (this._known(v.set_when)) {
      this.values[index] = 1;
    }
  }

  /** @param {number} index @param {any} v */
  _timer(index, v) {
    if (v.timer_kind === 'pulse') {
      const turned = this._edge(index, v.condition);
      if (turned && !this.values[index] && this.now_ms >= (this.pause_until.get(index) ?? 0)) {
        this.values[index] = 1;
        this._putTimer(index, RUN_OUT, v.for_ms);
      }
    } else if (v.timer_kind === 'on_delay') {
      if (!this._known(v.condition)) {
        this.values[index] = 0;
        this._cancelTimer(index, RUN_OUT);
      } else if (!this.values[index] && !this._running(index)) {
        this._putTimer(index, RUN_OUT, v.for_ms);
      }
    } else if (this._known(v.condition)) {
      this._cancelTimer(index, RUN_OUT);
      if (!this.values[index] && !this.blocked.has(index)) {
        this.values[index] = 1;
        if (v.at_most_ms !== undefined) this._putTimer(index, AT_MOST, v.at_most_ms);
      }
    } else {
      this.blocked.delete(index);
      if (this.values[index] && !this._running(index)) this._putTimer(index, RUN_OUT, v.for_ms);
    }
  }

  /** @param {number} place @param {number} end */
  _timerDue(place, end) {
    const index = this.program.data.settle_order[place];
    const v = this.program.variables[index];
    if (v.timer_kind === 'on_delay') {
      this.values[index] = 1;
      return;
    }
    this.values[index] = 0;
    if (v.timer_kind === 'pulse') {
      this.pause_until.set(index, this.now_ms + (v.again_after_ms ?? 0));
      return;
    }
    this._cancelTimer(index, RUN_OUT);
    this._cancelTimer(index, AT_MOST);
    if (end === AT_MOST) this.blocked.add(index);
  }

  /** @param {[number, number, number]} which @param {number} after_ms */
  _put(which, after_ms) {
    this.due.set(String(which), { at: this.now_ms + after_ms, which });
  }

  /** @param {[number, number, number]} which */
  _cancel(which) {
    this.due.delete(String(which));
  }

  /** @param {number} index @param {number} end @param {number} after_ms */
  _putTimer(index, end, after_ms) {
    this._put([2, this.place.get(index) ?? 0, end], after_ms);
  }

  /** @param {number} index @param {number} end */
  _cancelTimer(index, end) {
    this._cancel([2, this.place.get(index) ?? 0, end]);
  }

  /** @param {number} index */
  _running(index) {
    return this.due.has(String([2, this.place.get(index), RUN_OUT]));
  }

  // -- names

  /** @param {string} name @returns {number} */
  _named(name) {
    const at = this.index.get(name);
    if (at === undefined) throw new StepError(`nothing is called ${name}`);
    return at;
  }

  /** @param {string} name @param {string} done @returns {[number, any]} */
  _switch(name, done) {
    const at = this._named(name);
    const v = this.program.variables[at];
    if (v.kind !== 'switch') throw new StepError(`${name} is a ${v.kind}: only a switch is ${done}`);
    return [at, v];
  }

  /** @param {string} name */
  _momentary(name) {
    const [, v] = this._switch(name, 'tapped or held');
    if (v.switch_kind !== 'momentary') {
      throw new StepError(`${name} is a ${v.switch_kind} switch: only a momentary one is tapped or held`);
    }
    return v;
  }

  /** @param {string} name */
  _losable(name) {
    const at = this._named(name);
    if (!this.program.variables[at].losable) {
      throw new StepError(`${name} does not come over a data bus: it cannot be lost`);
    }
    return at;
  }

  /** @param {any} v @param {string} text */
  _value(v, text) {
    let value = v.values.indexOf(text);
    if (value < 0 && (text === 'true' || text === 'false') && v.values.join() === 'no,yes') value = text === 'true' ? 1 : 0;
    if (value < 0 && (text === 'true' || text === 'yes') && v.switch_kind === 'momentary') value = 1;
    if (value < 0) throw new StepError(`${text} is no value of ${v.name}; it has ${v.values.join(', ')}`);
    return value;
  }
}

/** @param {{at: number, which: number[]}} a @param {{at: number, which: number[]}} b */
function earlier(a, b) {
  if (a.at !== b.at) return a.at < b.at;
  for (let i = 0; i < 3; i += 1) if (a.which[i] !== b.which[i]) return a.which[i] < b.which[i];
  return false;
}
