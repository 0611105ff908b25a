// What is told beside the golfers: numbers of the moment shown, the head's course, and what limits the swing.
import { SVG_NAMES } from "../../render/web/marks.js";
import { shownNumber, signedNumber } from "./settings.js";

const WIDTH = 420, HEIGHT = 190, LEFT = 44, RIGHT = 12, TOP = 14, BOTTOM = 26;
const LEAST_CM = 2;

/** The table: one row a measure, one column a golfer. */
export class Numbers {
  constructor(body, measures) {
    this.rows = measures.map((measure) => {
      const row = document.createElement("tr"), head = document.createElement("th");
      head.scope = "row";
      head.append(measure.words, " ");
      const unit = document.createElement("small");
      unit.textContent = measure.unit;
      head.append(unit);
      row.dataset.key = measure.key;
      row.append(head);
      body.append(row);
      return { measure, row, cells: [] };
    });
  }

  /** moments: of each golfer, the numbers of the moment that is drawn. */
  show(moments) {
    for (const { measure, row, cells } of this.rows) {
      while (cells.length < moments.length) {
        const cell = document.createElement("td");
        cells.push(cell);
        row.append(cell);
      }
      while (cells.length > moments.length) cells.pop().remove();
      moments.forEach((moment, k) => {
        const value = moment[measure.key];
        const number = value === null ? null : value * (measure.times ?? 1);
        const text = measure.signed ? signedNumber(number ?? NaN, measure.decimals) : shownNumber(number, measure.decimals);
        if (cells[k].textContent !== text) cells[k].textContent = text;
      });
    }
  }
}

/** A course of one measure over the swing, a line a golfer, with a mark at the moment shown. */
export class Chart {
  constructor(place, { key, title, ends }) {
    Object.assign(this, { place, key, title, ends });
    this.svg = document.createElementNS(SVG_NAMES, "svg");
    this.svg.setAttribute("viewBox", `0 0 ${WIDTH} ${HEIGHT}`);
    this.svg.setAttribute("class", "chart");
    this.svg.setAttribute("role", "img");
    place.append(this.svg);
  }

  /** courses: [{name, style: {colour, dash}, moments}]; share: progress at the moment shown. */
  show(courses, share) {
    const values = courses.map(({ moments }) => moments.map((one) => one[this.key]));
    const most = Math.max(LEAST_CM, ...values.flat().map(Math.abs)), step = most <= 2 ? 1 : most <= 5 ? 2 : most <= 12 ? 5 : 10;
    const end = Math.ceil(most / step) * step;
    const far = courses[0].moments.at(-1).progress;
    const x = (part) => LEFT + (part / far) * (WIDTH - LEFT - RIGHT);
    const y = (value) => TOP + (0.5 - value / (2 * end)) * (HEIGHT - TOP - BOTTOM);
    const parts = [];
    const add = (name, attributes, text) => {
      const made = document.createElementNS(SVG_NAMES, name);
      for (const [attribute, value] of Object.entries(attributes)) made.setAttribute(attribute, value);
      if (text) made.textContent = text;
      parts.push(made);
    };
    for (let value = -end; value <= end; value += step) {
      add("line", { x1: x(0), x2: x(far), y1: y(value), y2: y(value), class: value === 0 ? "zero" : "grid" });
      add("text", { x: LEFT - 6, y: y(value) + 4, "text-anchor": "end", "font-size": 12, class: "end" }, shownNumber(value, 0));
    }
    add("text", { x: LEFT + 4, y: TOP + 4, "font-size": 12, class: "end" }, this.ends[0]);
    add("text", { x: LEFT + 4, y: HEIGHT - BOTTOM - 3, "font-size": 12, class: "end" }, this.ends[1]);
    add("text", { x: x(0), y: HEIGHT - 8, "font-size": 12 }, "address");
    const called = far > 1 ? [[1, "top"], [2, "impact"], [far, "past the ball"]] : [[1, "top"]];
    for (const [at, word] of called) {
      add("text", { x: x(at), y: HEIGHT - 8, "font-size": 12, "text-anchor": at === far ? "end" : "middle" }, word);
      if (at < far) add("line", { x1: x(at), x2: x(at), y1: TOP, y2: HEIGHT - BOTTOM, class: "grid" });
    }
    add("line", { x1: x(share), x2: x(share), y1: TOP, y2: HEIGHT - BOTTOM, stroke: "currentColor", "stroke-width": 1, "stroke-dasharray": "2 3" });
    courses.forEach(({ style, moments }, k) => {
      const points = moments.map((one, m) => `${x(one.progress).toFixed(1)},${y(values[k][m]).toFixed(1)}`).join(" ");
      add("polyline", { points, fill: "none", stroke: style.colour, "stroke-width": 2.4, ...(style.dash ? { "stroke-dasharray": style.dash } : {}) });
    });
    const ends = far > 1 ? [[1, "at the top"], [2, "at impact"]] : [[1, "at the top"]];
    const last = courses.map(({ name, moments }, k) => `${name} ${ends.map(([at, words]) =>
      `${signedNumber(values[k][moments.findIndex(({ progress }) => progress === at)], 1)} cm ${words}`).join(" and ")}`).join(", ");
    this.svg.setAttribute("aria-label", `${this.title}: ${last}`);
    this.svg.replaceChildren(...parts);
  }
}

/** A list that is written anew only where it says something else. */
export function tellLines(list, lines) {
  const told = [...list.children].map((one) => one.textContent);
  if (told.length === lines.length && told.every((one, k) => one === lines[k])) return;
  list.replaceChildren(
    ...lines.map((line) => {
      const item = document.createElement("li");
      item.textContent = line;
      return item;
    }),
  );
}

const spoken = (name) => name.replaceAll("_", " ");

/** How far the hips could turn, where that was asked for. */
export function roomWords(room) {
  if (!room) return "";
  const by = room.stopped_by.length ? ` (${room.stopped_by.map(spoken).join(", ")})` : "";
  return `Asked for more hip turn, the hips would stop at ${shownNumber(room.most_hip_turn_deg, 0)}°${by}. ${room.ceiling}`;
}

/** What limits a swing; warnings tell of every range that stops something, and of more. */
export function limitLines({ warnings, limited_by: limits, impact }) {
  return [...(warnings.length ? warnings : limits.map(limitWords)), ...(impact?.doubts ?? [])];
}

function limitWords({ range, from_progress: from, to_progress: to, at_top: atTop }) {
  const share = (part) => `${Math.round(100 * part)} %`;
  return `${spoken(range)} stops the body from ${share(from)} ${atTop ? "to the top" : `to ${share(to)} of the backswing`}`;
}

/** What stops something at a moment past the top; up to there the lines say from when to when. */
export function stoppedWords({ progress, limited_by: body, arms_limited_by: arms }) {
  const names = [...body, ...arms].map(spoken);
  return progress > 1 && names.length ? `At the moment shown, part of what is asked is stopped by ${names.join(", ")}.` : "";
}
