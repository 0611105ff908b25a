// Sliders and switches, made from what the server tells of every quantity.
import { departure, shownNumber, steady } from "./settings.js";

const STEADY_ENDS = 30; // Degrees more and less than what keeps the head still, as far as a slider goes.

/** One row: a slider, its number, and a switch where the head can be kept still instead. */
export class Control {
  /**
   * told: {name, meaning, unit, low, high, step, steady, words, parts: [[section, key, sign], ...], usual}.
   * onchange(changes, done): values to set, and whether the finger is off.
   */
  constructor(told, settings, onchange) {
    Object.assign(this, { told, settings, onchange });
    this.element = document.createElement("div");
    this.element.className = "control";
    this.id = `live-${told.parts.map(([section, key]) => `${section}-${key}`).join("-").replaceAll(/[^\w-]/g, "-")}`;
    if (told.words.length) this.#choice();
    else this.#slider();
    if (told.flare) {
      this.note = document.createElement("p");
      this.note.className = "note";
      this.element.append(this.note);
    }
    this.show();
  }

  #labelled(element, more = []) {
    const label = document.createElement("label");
    label.htmlFor = this.id;
    label.textContent = this.told.name;
    if (this.told.meaning) label.title = this.told.meaning;
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
    this.number.type = "number";
    this.number.inputMode = "decimal";
    this.number.setAttribute("aria-label", `${this.told.name}, ${this.told.unit === "deg" ? "degrees" : this.told.unit}`);
    this.unit = document.createElement("span");
    this.unit.className = "unit";
    this.unit.textContent = this.told.unit === "deg" ? "°" : this.told.unit;
    this.#labelled(this.range, [this.number, this.unit]);
    if (this.told.steady) this.#switch();
    this.range.addEventListener("input", () => this.onchange(this.#all(this.#value(Number(this.range.value))), false));
    this.range.addEventListener("change", () => this.onchange(this.#all(this.#value(Number(this.range.value))), true));
    this.number.addEventListener("change", () => {
      const given = Number(this.number.value), { min, max } = this.number;
      if (this.number.value === "" || !Number.isFinite(given)) return this.show();
      const held = Math.max(Number(min), Math.min(Number(max), given));
      this.onchange(this.#all(this.#value(held)), true);
    });
  }

  #switch() {
    const label = document.createElement("label");
    label.className = "switch";
    this.steady = document.createElement("input");
    this.steady.type = "checkbox";
    label.append(this.steady, "keep the head still");
    this.element.append(label);
    this.steady.addEventListener("change", () => {
      const value = this.steady.checked ? steady(0) : round(this.achieved ?? this.told.usual, this.told.step);
      this.onchange(this.#all(value), true);
    });
  }

  get #departs() {
    const [[section, key]] = this.told.parts;
    return departure(this.settings.get(section, key));
  }

  #value(number) {
    return this.#departs === null ? number : steady(number);
  }

  #all(value) {
    return this.told.parts.map(([section, key, sign]) => [section, key, typeof value === "number" ? sign * value : value]);
  }

  /** Shows what is set; achieved: what the swing came to, if that is known. */
  show(achieved = this.achieved) {
    this.achieved = achieved;
    const [[section, key, sign]] = this.told.parts, set = this.settings.get(section, key);
    if (this.choice) {
      this.choice.value = set ?? this.told.usual;
      return;
    }
    const departs = this.#departs, { low, high, step, usual } = this.told;
    const number = departs ?? (set === undefined ? usual : sign * set);
    const ends = departs === null ? [Math.min(low, number), Math.max(high, number)] : [-STEADY_ENDS, STEADY_ENDS];
    for (const input of [this.range, this.number]) {
      [input.min, input.max] = ends;
      input.step = input === this.number ? "any" : step;
    }
    if (document.activeElement !== this.number) this.number.value = Number(number.toFixed(2));
    this.range.value = number;
    const unit = this.told.unit === "deg" ? "degrees" : this.told.unit;
    this.range.setAttribute("aria-valuetext", departs === null ? `${shownNumber(number, 1)} ${unit}` :
      `what keeps the head still, ${shownNumber(number, 1)} ${unit} more`);
    this.element.classList.toggle("departs", departs !== null);
    if (this.steady) this.steady.checked = departs !== null;
    this.unit.textContent = departs === null ? (this.told.unit === "deg" ? "°" : this.told.unit) : "° more";
  }
}

const round = (value, step) => Math.round(value / step) * step;
