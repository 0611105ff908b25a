// Sliders and switches, made from what the server tells of every quantity.
import { departure, mark, shownNumber, steady, tell } from "./settings.js";
import { amountOf, heldTo, notTaken } from "./typed.js";

const STEADY_ENDS = 30; // Degrees more and less than what keeps the head still, as far as a slider goes.
const NOTICED = { deg: 0.5, cm: 0.2, kg: 0.5 }; // From what was asked to what the body does, before it is told.

/** One row: a slider, its number, and a switch where the head can be kept still instead. */
export class Control {
  /**
   * told: {name, meaning, unit, low, high, allowed, step, steady, words, key, flare, at, ways, parts: [[section, key, sign, usual,
   * like], ...]}; allowed: how far each part may go; at: of which moment it is; ways: what below and above nought is called; like: the section and key of what
   * a part is where it is not set itself.
   * onchange(changes, done): values to set, and whether the finger is off; sizes: of the units that a number may be written in.
   */
  constructor(told, settings, onchange, sizes) {
    Object.assign(this, { told, settings, onchange, sizes });
    this.element = document.createElement("div");
    this.element.className = "control";
    this.id = `live-${told.parts.map(([section, key]) => `${section}-${key}`).join("-").replaceAll(/[^\w-]/g, "-")}`;
    if (told.words.length) this.#choice();
    else this.#slider();
    this.note = document.createElement("p");
    this.note.className = told.flare ? "note room" : told.ways.length ? "note way" : "note";
    this.element.append(this.note);
    this.show();
  }

  /** Its name for who does not see under which heading it stands. */
  get called() {
    return `${this.told.name}${this.told.at === "impact" ? " at impact" : ""}`;
  }

  #labelled(element, more = []) {
    const label = document.createElement("label");
    label.htmlFor = this.id;
    label.textContent = this.told.name;
    if (this.told.at === "impact") label.append(unseen(" at impact"));
    if (this.told.meaning) {
      label.title = this.told.meaning;
      element.setAttribute("aria-description", this.told.meaning);
    }
    element.id = this.id;
    this.element.append(label, ...more, element);
    return element;
  }

  #choice() {
    this.choice = document.createElement("select");
    for (const word of this.told.words) this.choice.append(new Option(word, word));
    this.#labelled(this.choice);
    this.choice.addEventListener("change", () => this.onchange(this.#all(this.choice.value), true));
  }

  #slider() {
    this.range = document.createElement("input");
    this.range.type = "range";
    this.number = document.createElement("input");
    this.number.type = "text";
    this.number.inputMode = this.told.low < 0 ? "text" : "decimal"; // Some phones' keys for decimals have no minus.
    this.number.className = "number";
    this.number.setAttribute("aria-label", `${this.called}, ${this.told.unit === "deg" ? "degrees" : this.told.unit}`);
    this.unit = document.createElement("span");
    this.unit.className = "unit";
    this.#labelled(this.range, [this.number, this.unit]);
    if (this.told.steady) this.#switch();
    const moved = (done) => this.onchange(this.#all(this.#value(Number(this.range.value))), done);
    this.range.addEventListener("input", () => moved(false));
    this.range.addEventListener("change", () => moved(true));
    this.#scrollable();
    this.said = document.createElement("p"); // Of what was typed last; there from the start, so that it is read out.
    this.said.className = "said";
    this.said.setAttribute("aria-live", "polite");
    this.element.append(this.said);
    this.number.addEventListener("input", () => this.#say(""));
    this.number.addEventListener("change", () => this.#typed(this.number.value));
    this.number.addEventListener("blur", () => this.#write());
  }

  /** Takes what was typed, or says why it is not taken or not taken as it is. */
  #typed(text) {
    const given = amountOf(text, this.sizes), { min, max } = this.range;
    if (given === null) this.#say(notTaken(text, this.told.unit, this.#inWords));
    else {
      const held = Math.max(Number(min), Math.min(Number(max), given)), [least, most] = this.told.allowed;
      const farther = this.#departure === null && this.told.parts.length === 1 && (given > held ? held < most : held > least);
      this.onchange(this.#all(this.#value(held)), true);
      this.#say(held === given ? "" : heldTo(text, given > held, this.#inWords, farther));
    }
    this.#write();
  }

  #say(sentence) {
    this.saidOf = this.#shown;
    tell(this.said, sentence);
  }

  /** What is set, as people read it. */
  get #inWords() {
    const more = this.#departure === null ? "" : " more than what keeps the head still";
    return `${this.#text}${this.told.unit === "deg" ? "°" : ` ${this.told.unit}`}${more}`;
  }

  /** A finger that scrolls the page past a slider does not move it: what it did before is put back. */
  #scrollable() {
    let before = null;
    this.range.addEventListener("pointerdown", (event) => {
      before = event.pointerType === "touch" ? this.told.parts.map(([section, key]) => [section, key, this.settings.get(section, key)]) : null;
    });
    this.range.addEventListener("pointercancel", () => {
      if (before) this.onchange(before, true);
      before = null;
    });
  }

  #switch() {
    const label = document.createElement("label");
    label.className = "switch";
    this.steady = document.createElement("input");
    this.steady.type = "checkbox";
    this.steady.setAttribute("aria-label", `${this.called} counted from what keeps the head still`);
    label.append(this.steady, "counted from what keeps the head still");
    this.element.append(label);
    this.steady.addEventListener("change", () => {
      const value = this.steady.checked ? steady(round(this.departs ?? 0, this.told.step)) : round(this.achieved ?? 0, this.told.step);
      this.onchange(this.#all(value), true);
    });
  }

  /** Marks the slider whose last move was refused, with the sentence that says why; an empty one takes the mark away. */
  refuse(sentence) {
    if ((this.refused ?? "") === sentence) return;
    this.refused = sentence;
    this.element.classList.toggle("refused", sentence !== "");
    (this.range ?? this.choice).setAttribute("aria-invalid", sentence !== "");
    if (sentence) this.note.textContent = sentence;
  }

  /** What a part is set to, or is usually. */
  #set([section, key, , usual, like]) {
    return this.settings.get(section, key) ?? (like && this.settings.get(...like)) ?? usual;
  }

  get #departure() {
    return departure(this.#set(this.told.parts[0]));
  }

  get #shown() {
    const first = this.told.parts[0];
    return this.#departure ?? first[2] * this.#set(first);
  }

  #value(number) {
    return this.#departure === null ? number : steady(number);
  }

  /** Of two sides at once, each goes as far as the first does, so that they stay as far from each other as they were. */
  #all(value) {
    const by = typeof value === "number" ? value - this.#shown : 0;
    return this.told.parts.map((part, k) => {
      const [section, key, sign] = part;
      if (typeof value !== "number") return [section, key, value];
      return [section, key, k === 0 ? sign * value : Number((this.#set(part) + sign * by).toFixed(4))];
    });
  }

  /** How far it goes from a number: of two sides at once, neither farther than it may. */
  #ends(number) {
    let { low, high } = this.told;
    for (const part of this.told.parts) {
      const sign = part[2], apart = sign * this.#set(part) - number;
      const ends = this.told.allowed.map((end) => sign * end - apart);
      low = Math.max(low, Math.min(...ends));
      high = Math.min(high, Math.max(...ends));
    }
    return [Math.min(low, number), Math.max(high, number)];
  }

  get #text() {
    return String(Number(this.#shown.toFixed(2))).replace("-", "\u2212");
  }

  #write() {
    const text = this.#text;
    if (this.number.value !== text) this.number.value = text;
  }

  /**
   * Shows what is set.
   *
   * achieved: what the swing came to; departs: how far that is from what keeps the head still; room: the most hip turn.
   */
  show({ achieved = this.achieved, departs = this.departs, room = null } = {}) {
    Object.assign(this, { achieved, departs });
    if (this.choice) {
      this.choice.value = this.#set(this.told.parts[0]);
      this.note.textContent = this.refused ?? "";
      return;
    }
    const counted = this.#departure !== null, number = this.#shown, { step } = this.told;
    const [low, high] = counted ? [-STEADY_ENDS, STEADY_ENDS] : this.#ends(number);
    for (const [name, end] of Object.entries({ min: low, max: high, step })) mark(this.range, name, end);
    if (Number(this.range.value) !== number) this.range.value = number;
    if (document.activeElement !== this.number) this.#write();
    if (this.#shown !== this.saidOf) this.#say("");
    const unit = this.told.unit === "deg" ? "degrees" : this.told.unit;
    mark(this.range, "aria-valuetext", counted
      ? `${shownNumber(number, 1)} degrees more than what keeps the head still` : this.#way(number, ` ${unit}`) || `${shownNumber(number, 1)} ${unit}`);
    this.element.classList.toggle("departs", counted);
    if (this.steady) this.steady.checked = counted;
    tell(this.unit, counted ? "° more" : this.told.unit === "deg" ? "°" : this.told.unit);
    tell(this.note, this.refused || this.#told(counted, room));
  }

  /** What is told under the slider: what the body makes of it, where that is something else. */
  #told(counted, room) {
    const { unit, flare, parts } = this.told, sign = unit === "deg" ? "°" : ` ${unit}`;
    if (parts.length > 1) {
      const each = parts.map((part) => this.#set(part)), apart = Math.abs(each[0] - parts[0][2] * parts[1][2] * each[1]) > 0.01;
      const sides = apart ? `lead ${shownNumber(each[0], 1)}${sign}, trail ${shownNumber(each[1], 1)}${sign}` : "";
      return [sides, flare && room !== null ? `most hip turn like this: ${shownNumber(room, 0)}°` : ""].filter(Boolean).join("; ");
    }
    if (flare && room !== null) return `most hip turn like this: ${shownNumber(room, 0)}°`;
    const at = this.told.at === "impact" ? "at impact" : "at the top", said = (value) => this.#way(value, sign) || `${shownNumber(value, 1)}${sign}`;
    if (this.achieved === undefined) return counted ? "" : this.#way(this.#shown, sign);
    if (counted) return `${said(this.achieved)} ${at}`;
    return Math.abs(this.achieved - this.#shown) > NOTICED[unit] ? `reaches ${said(this.achieved)}` : this.#way(this.#shown, sign);
  }

  /** A value by the way that it goes, where the ways have names: 40° open to the target. */
  #way(value, sign) {
    const { ways } = this.told, far = Number(Math.abs(value).toFixed(1));
    return ways.length && far ? `${far}${sign} ${ways[value < 0 ? 0 : 1]}` : "";
  }
}

function unseen(words) {
  const made = document.createElement("span");
  made.className = "unseen";
  made.textContent = words;
  return made;
}

const round = (value, step) => Math.round(value / step) * step;
