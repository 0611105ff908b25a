// What a golfer is asked to do: the values of a setup, who they were before, and how a slider reads and writes them.

const MOST_STEPS_BACK = 200;
const LONGEST_NAME = 60, CHANGED = ", changed";

/** One swing's settings, section to key to value as presets and messages have them, and those of the swing kept beside it. */
export class Settings {
  constructor({ name, values, timing }) {
    this.now = copy({ name, values, timing });
    this.first = this.now;
    this.named = new Map(); // Name to the swing that came under it.
    this.#cameAs(this.now);
    this.kept = null;
    this.history = [this.#state];
    this.at = 0;
  }

  get #state() {
    return { now: this.now, kept: this.kept };
  }

  get #marked() {
    const { now, kept } = this.history[this.at];
    return kept === this.kept && same(now, this.now);
  }

  /** Whether this is another swing than the page began with. */
  get changed() {
    return !same(this.first, this.now);
  }

  /** How a swing is called: one that is not what came under its name any more is called changed. */
  called(swing) {
    const { name } = swing;
    return same(this.named.get(name), swing) ? name : `${name.slice(0, LONGEST_NAME - CHANGED.length)}${CHANGED}`;
  }

  #cameAs(swing) {
    this.named.set(swing.name, copy(swing));
  }

  /** Another swing as it is in its file: golfer, address and all. */
  open(swing) {
    this.now = copy(swing);
    this.#cameAs(this.now);
  }

  /** A swing that the page begins with beside it: nothing that can be undone. */
  beginBeside(kept) {
    this.#cameAs(kept);
    this.kept = kept;
    for (const state of this.history) state.kept ??= kept;
  }

  get(section, key) {
    return this.now.values[section]?.[key];
  }

  /** Sets values; what is undefined is left to the centred preset again. */
  set(changes) {
    this.now = copy(this.now);
    for (const [section, key, value] of changes) {
      const values = (this.now.values[section] ??= {});
      if (value === undefined) delete values[key];
      else values[key] = value;
      if (!Object.keys(values).length) delete this.now.values[section];
    }
  }

  /** A change is whole: it can be undone from here on. */
  mark() {
    if (this.#marked) return;
    this.history = [...this.history.slice(0, this.at + 1), this.#state].slice(-MOST_STEPS_BACK);
    this.at = this.history.length - 1;
  }

  get canUndo() {
    return this.at > 0 || !this.#marked;
  }

  get canRedo() {
    return this.at < this.history.length - 1 && this.#marked;
  }

  undo() {
    if (!this.canUndo) return false;
    if (this.#marked) this.at -= 1;
    Object.assign(this, this.history[this.at]);
    return true;
  }

  redo() {
    if (!this.canRedo) return false;
    this.at += 1;
    Object.assign(this, this.history[this.at]);
    return true;
  }

  /** Another swing by the same body: a preset's address, pieces and timing. */
  take(preset, ofTheBody) {
    const kept = Object.fromEntries(Object.entries(this.now.values).filter(([section]) => ofTheBody.has(section)));
    const own = Object.fromEntries(Object.entries(preset.values).filter(([section]) => !ofTheBody.has(section)));
    this.now = copy({ name: preset.name, values: { ...own, ...kept }, timing: preset.timing });
    this.#cameAs(this.now);
  }
}

export const copy = (value) => structuredClone(value);
export const same = (one, other) => JSON.stringify(one) === JSON.stringify(other);

const STEADY = /^\s*steady\s*(?:([+-])\s*(\d+(?:\.\d*)?|\.\d+))?\s*$/;

/** Degrees more than what keeps the head still, or null for a value that is a number. */
export function departure(value) {
  const found = typeof value === "string" ? STEADY.exec(value) : null;
  return found ? Number(`${found[1] ?? ""}${found[2] ?? "0"}`) : null;
}

/** A departure as presets write it. */
export function steady(degrees) {
  return degrees ? `steady${degrees > 0 ? "+" : "-"}${Math.abs(degrees)}` : "steady";
}

/** Writes what is not there yet: to write the same again would lay the page out anew. */
export function tell(element, text) {
  if (element.textContent !== text) element.textContent = text;
}

/** The same of an attribute. */
export function mark(element, attribute, text) {
  if (element.getAttribute(attribute) !== String(text)) element.setAttribute(attribute, text);
}

/** A number as people read it, with a true minus sign and never a minus nought. */
export function shownNumber(value, decimals) {
  if (value === null || value === undefined || !Number.isFinite(value)) return "\u2013";
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? (0).toFixed(decimals) : text.replace("-", "\u2212");
}

/** The same with its sign always there. */
export function signedNumber(value, decimals) {
  const text = shownNumber(value, decimals);
  return Number(value) > 0 && Number(value.toFixed(decimals)) !== 0 ? `+${text}` : text;
}
