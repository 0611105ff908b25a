// What is told of the strike where the swing goes on to impact, its numbers and what turnstill strike says of them; where it
// ends at the top, where the low point goes.
import { Numbers, tellLines } from "./readout.js";
import { struck } from "./server.js";
import { signedNumber } from "./settings.js";

const AT_REST_MS = 600; // What did it takes most of a second to find, so it is asked for when nothing moves any more.

export class Strike {
  /** by: finds elements of the page; measures: of a strike; atRest: until no swing is awaited. */
  constructor(by, measures, atRest) {
    Object.assign(this, { by, atRest });
    this.numbers = new Numbers(by("strike-numbers"), measures);
    this.said = new WeakMap(); // Answer to the sentences about it.
    this.waiting = 0;
    this.line = measures.filter((measure) => measure.at_once).map((measure) => {
      const item = document.createElement("span"), value = document.createElement("b");
      item.dataset.key = measure.key;
      item.append(`${measure.short} `, value);
      by("strike-line").append(item);
      return { measure, value };
    });
  }

  /** answers: of the golfers, that of the sliders last. */
  show(answers) {
    const now = answers.at(-1), { impact } = now.report;
    for (const name of ["strike-line", "strike"]) this.by(name).hidden = impact === null;
    this.by("why").hidden = impact !== null; // On to impact the strike says what became of the move.
    if (impact !== null) this.#strike(answers, impact);
    this.#tell(now);
    if (this.now === now) return;
    this.now = now;
    clearTimeout(this.waiting);
    if (!this.said.has(now)) this.waiting = setTimeout(() => this.#look(now), AT_REST_MS);
  }

  #strike(answers, impact) {
    this.numbers.show(answers.map(({ report }) => report.impact.strike));
    for (const { measure, value } of this.line) {
      const number = impact.strike[measure.key], unit = measure.unit === "°" ? "°" : ` ${measure.unit}`;
      value.textContent = `${signedNumber(number ?? NaN, measure.decimals)}${number === null ? "" : unit}`;
    }
  }

  #tell(now) {
    const said = this.said.get(now), { impact } = now.report;
    if (impact === null) return void (this.by("low").textContent = said?.[0] ?? "This is worked out when the sliders rest.");
    tellLines(this.by("strike-says"), said ?? [impact.arc]);
    this.by("strike-waits").hidden = said !== undefined;
  }

  async #look(now) {
    // Where swings take long, one may still be on its way: it comes first, and this would only hold it up.
    await this.atRest();
    if (this.now !== now) return;
    const { name, values, timing, through } = now.message;
    try {
      this.said.set(now, await struck({ name, values, timing, through }));
    } catch {
      if (this.now === now) this.now = null; // Asked again when something moves; what came with the swing stands.
      return;
    }
    if (this.now === now) this.#tell(now);
  }
}
