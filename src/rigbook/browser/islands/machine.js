// The compiled program being operated: the same stepping and evaluation as on paper (`program.js`), by index.
import { StepError, Stepper, load } from "program";

export class Machine {
  /** @param {any} data  the program's JSON */
  constructor(data) {
    this.program = load(data);
    this.stepper = new Stepper(this.program);
  }

  /** @returns {number[]} the present value of every variable */
  get state() {
    return this.stepper.state;
  }

  /** What the hand or the vehicle holds a variable at; a wire signal that still settles has not reached the state yet. @param {number} variable */
  value(variable) {
    return this.program.variables[variable].kind === "signal" ? this.stepper.true_values[variable] : this.state[variable];
  }

  /** @param {number} variable */
  isLost(variable) {
    return this.stepper.lost.has(variable);
  }

  /** @param {number[]} state */
  load(state) {
    this.stepper = new Stepper(this.program, state);
  }

  /** @param {() => void} act @returns {string} why it was refused, or nothing */
  #tried(act) {
    try {
      act();
      return "";
    } catch (refused) {
      if (refused instanceof StepError) return refused.message;
      throw refused;
    }
  }

  /** @param {number} variable @param {number} value */
  set(variable, value) {
    const v = this.program.variables[variable];
    return this.#tried(() => this.stepper.set({ [v.name]: v.values[value] }));
  }

  /** Several signals in one event. @param {Record<string, string>} changes */
  setSignals(changes) {
    return this.#tried(() => this.stepper.set(changes));
  }

  /** @param {number} variable */
  press(variable) {
    return this.#tried(() => this.stepper.press(this.program.variables[variable].name));
  }

  /** @param {number} variable */
  release(variable) {
    return this.#tried(() => this.stepper.release(this.program.variables[variable].name));
  }

  /** @param {number} variable @param {boolean} lost */
  lose(variable, lost) {
    const name = this.program.variables[variable].name;
    return this.#tried(() => (lost ? this.stepper.lose(name) : this.stepper.restore(name)));
  }

  /** Let time pass. @param {number} ms @returns {boolean} whether anything fell due */
  advance(ms) {
    const due = this.stepper.next_due_ms;
    const falls = due !== null && due <= this.stepper.now_ms + ms;
    this.stepper.wait(ms);
    return falls;
  }

  /** Whether a compiled condition holds now. @param {any} expression */
  holds(expression) {
    return this.program.holds(expression, this.state);
  }

  /** @returns {any} what the present state does */
  outcome() {
    return this.program.evaluate(this.state, this.stepper.lost);
  }

  /** @returns {number[]} by device: 0 with doors closed, n for its n-th other place */
  poses() {
    const state = this.state;
    return this.program.data.devices.map((/** @type {any} */ d) => {
      const at = d.poses.findIndex((/** @type {any[]} */ [when]) => when === null || this.program.holds(when, state));
      return at < 0 || d.poses[at][0] === null ? 0 : at + 1;
    });
  }
}
