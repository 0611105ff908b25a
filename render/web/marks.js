// The marks over a picture, in the pictures' own style and places (render/pictures): heads, path, plumb line, the view's
// lines and their angles, as SVG in the picture's pixels.
import { AT_HOME } from "./camera.js";

const NAMED = { 1: "top", 2: "impact" }; // Moments by how far the swing has gone there.

export const SVG_NAMES = "http://www.w3.org/2000/svg";
const CELL = 24; // Pixels of the coarse picture of where the figure is, which words avoid.
const THINNEST_AT_PX = 380, MOST_THICKER = 2; // CSS pixels from which down lines keep their width.
const ROOM_FOR_SEVERAL_PX = 300, ROOM_FOR_ONE_PX = 130; // CSS pixels from which on words stand beside their lines.
const LEAST_TEXT_PX = 11, LEAST_LISTED_PX = 9; // CSS pixels that words have at least, beside their lines and in a list.

/** Draws into an svg element over a panel; style: from render/web/settings.py. */
export class Marks {
  constructor(svg, style) {
    this.svg = svg;
    this.style = style;
    this.places = new Map();
    this.ruler = document.createElement("canvas").getContext("2d");
  }

  /**
   * Everything anew for a moment.
   *
   * camera: with orbit; home: whether it is the view's own, whose angles are written; cssWidth: how wide the picture is
   * shown; settle: whether words may look for a better place, which they do only when nothing moves.
   */
  draw(golfer, view, camera, { home, cssWidth, settle }) {
    const { marks, moment, last } = golfer, style = this.style;
    // As in the pictures, but no thinner than the eye finds in a small one.
    const u = (camera.width / 720) * Math.max(1, Math.min(MOST_THICKER, THINNEST_AT_PX / cssWidth));
    this.svg.setAttribute("viewBox", `0 0 ${camera.width} ${camera.height}`);
    this.parts = [];
    const place = (point) => camera.project(point).slice(0, 2).map((part) => part + 0.5);
    const path = marks.head_path_m, radius = (point) => (camera.K[0][0] * marks.head_radius_m) / camera.project(point)[2];
    if (view === "face-on") {
      const [x, y, z] = path[0];
      this.#line([place([x, y, z + 2.4 * marks.head_radius_m]), place([x, y, 0])], style.plumb, 2.4 * u,
        { edge: style.ink, edgeWidth: 0.8 * u, dashed: u, name: "plumb" });
    }
    const shown = marks.lines[view] ?? [];
    for (const line of shown) {
      const now = line.ends_m[moment].map(place), then = line.ends_m[0].map(place);
      this.#line(now, style.now, style.line * u, { edge: style.halo, edgeWidth: style.edge * u, name: `${line.word} now` });
      this.#addressLine(then, u, `${line.word} address`);
      this.#dot(then[0], 4.5 * u, style.address, style.ink, style.edge * u);
      this.#dot(now[0], 4.5 * u, style.now, style.halo, style.edge * u);
    }
    const here = place(path[moment]), start = place(path[0]);
    this.#ring(here, radius(path[moment]), style.now, style.line * u, style.halo, style.edge * u, null, "head now");
    this.#ring(start, radius(path[0]), style.address, 0.6 * style.line * u, style.ink, 1.1 * u, u, "head address");
    this.#line(path.slice(0, moment + 1).map(place), style.now, 0.8 * style.line * u,
      { edge: style.halo, edgeWidth: style.edge * u, name: "head path" });
    this.#dot(start, 4.5 * u, style.address, style.ink, style.edge * u);
    this.#dot(here, 4.5 * u, style.now, style.halo, style.edge * u);
    // In a small picture there is no room for words beside each line, or only upon the golfer: they stand below one another.
    if (home && cssWidth >= (shown.length < 2 ? ROOM_FOR_ONE_PX : ROOM_FOR_SEVERAL_PX)) this.#angles(golfer, shown, camera, u, cssWidth, settle, place, last);
    else if (home) this.#listed(golfer, shown, camera, u, cssWidth, settle, place);
    this.svg.replaceChildren(...this.parts);
  }

  /** The angles of all lines, in words in the corner of the picture where they hide least; none where they do not fit into it. */
  #listed(golfer, shown, camera, u, cssWidth, settle, place) {
    const told = this.#inList(golfer, shown), pixel = camera.width / cssWidth;
    const widest = Math.max(...told.map(([words]) => this.#wide(words, 1, true)));
    const size = Math.min(LEAST_TEXT_PX * pixel, camera.width / (widest + 1));
    if (size < LEAST_LISTED_PX * pixel) return;
    const width = widest * size, height = 1.25 * size * told.length;
    if (settle || !this.places.has("list")) {
      const covered = this.#coverage(golfer, shown, camera, place);
      const half = [width / 2 + 0.5 * size, height / 2 + 0.25 * size];
      const corners = [camera.height - half[1], half[1]].flatMap((down) =>
        [half[0], camera.width - half[0]].map((across) => [across, down]));
      const hidden = corners.map(([x, y]) => share(covered, [x - half[0], y - half[1], x + half[0], y + half[1]]));
      this.places.set("list", corners[hidden.indexOf(Math.min(...hidden))]);
    }
    const [across, down] = this.places.get("list");
    told.forEach(([words, colour], k) =>
      this.#text([across - width / 2, down - height / 2 + (1.25 * k + 0.95) * size], words, colour, size, true, -1, u));
  }

  /** What a list says: of one line its angle at address and now, of several the one that counts of each. */
  #inList(golfer, shown) {
    const { style } = this, { moment } = golfer;
    const now = (word, line) => [`${word} ${degreesAt(line, moment)}`, style.now];
    const then = (word, line) => [`${word} ${degreesAt(line, 0)}`, style.ink];
    if (shown.length > 1) return shown.map((line) => ("top" in line.told ? now : then)(line.word, line));
    return shown.flatMap((line) => [then("address", line), ...(moment > 0 ? [now(calledAt(golfer), line)] : [])]);
  }

  /** How wide words are, in the picture's pixels. */
  #wide(words, size, bold) {
    this.family ||= getComputedStyle(this.svg).fontFamily;
    this.ruler.font = `${bold ? 700 : 400} 100px ${this.family}`;
    return (this.ruler.measureText(words).width * size) / 100;
  }

  /** The coarse cells that the golfer and the view's own marks take. */
  #coverage(golfer, shown, camera, place) {
    const covered = coverage(golfer, camera), { marks, moment } = golfer;
    for (const line of shown) for (const at of [0, moment]) cover(covered, line.ends_m[at].map(place));
    for (const at of [0, moment]) {
      const centre = marks.head_path_m[at], [x, y] = place(centre);
      const radius = (camera.K[0][0] * marks.head_radius_m) / camera.project(centre)[2];
      cover(covered, Array.from({ length: 25 }, (_, k) => (Math.PI * k) / 12).map((turn) =>
        [x + radius * Math.cos(turn), y + radius * Math.sin(turn)]));
    }
    return covered;
  }

  #angles(golfer, shown, camera, u, cssWidth, settle, place, last) {
    const { moment } = golfer, wide = cssWidth >= 300;
    const size = Math.max(30 * (camera.width / 720), (LEAST_TEXT_PX * camera.width) / cssWidth);
    const small = Math.max(0.87 * size, (LEAST_TEXT_PX * camera.width) / cssWidth);
    const covered = settle || this.places.size === 0 ? this.#coverage(golfer, shown, camera, place) : null;
    const taken = [];
    for (const line of shown) {
      for (const [when, share] of Object.entries(line.told)) {
        if (when === "top" && moment === 0) continue;
        const at = when === "top" ? moment : 0;
        const ends = line.ends_m[at].map(place);
        const point = ends[0].map((part, k) => part + share * (ends[1][k] - part));
        const word = when === "address" ? "address" : calledAt(golfer);
        const degrees = degreesAt(line, at);
        const words = wide || shown.length > 1 ? `${line.word} ${degrees}` : degrees;
        const width = Math.max(this.#wide(words, size, true), this.#wide(word, small, false)), height = 2.5 * size;
        const key = `${line.word} ${when}`;
        if (covered) this.places.set(key, freePlace(camera, covered, [width + 8 * u, height], point, 12 * u, taken));
        const middle = this.places.get(key);
        if (!middle) continue;
        const toward = Math.sign(point[0] - middle[0]) || 1, colour = when === "address" ? this.style.ink : this.style.now;
        const edge = middle[0] + (toward * width) / 2;
        const leader = [[edge + toward * 8 * u, middle[1] + 0.55 * size], point];
        if (covered) cover(covered, leader);
        this.#line(leader, this.style.ink, 1.4 * u, { edge: this.style.halo, edgeWidth: 1.2 * u, name: "leader" });
        this.#dot(point, 3 * u, colour, this.style.halo, this.style.edge * u);
        this.#text([edge, middle[1] - 0.22 * size], word, colour, small, false, toward, u);
        this.#text([edge, middle[1] + 0.9 * size], words, colour, size, true, toward, u);
      }
    }
  }

  #element(name, attributes) {
    const made = document.createElementNS(SVG_NAMES, name);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    this.parts.push(made);
    return made;
  }

  #line(points, colour, width, { edge, edgeWidth, dashed = null, name = "" }) {
    if (points.length < 2) return;
    const told = points.map(([x, y]) => `${x.toFixed(2)},${y.toFixed(2)}`).join(" ");
    const dash = dashed ? { "stroke-dasharray": `${12 * dashed} ${13 * dashed}` } : {};
    for (const [stroke, wide] of [[edge, width + 2 * edgeWidth], [colour, width]]) {
      this.#element("polyline", {
        points: told, stroke, "stroke-width": wide, fill: "none", "stroke-linecap": "round", "stroke-linejoin": "round",
        "data-mark": name, ...dash,
      });
    }
  }

  #addressLine(points, u, name) {
    this.#line(points, this.style.address, 0.6 * this.style.line * u,
      { edge: this.style.ink, edgeWidth: 1.1 * u, dashed: u, name });
  }

  #ring([x, y], r, colour, width, edge, edgeWidth, dashed, name) {
    const dash = dashed ? { "stroke-dasharray": `${12 * dashed} ${13 * dashed}`, "stroke-linecap": "round" } : {};
    for (const [stroke, wide] of [[edge, width + 2 * edgeWidth], [colour, width]]) {
      this.#element("circle", { cx: x.toFixed(2), cy: y.toFixed(2), r: r.toFixed(2), stroke, "stroke-width": wide,
        fill: "none", "data-mark": name, ...dash });
    }
  }

  #dot([x, y], r, colour, edge, edgeWidth) {
    this.#element("circle", { cx: x.toFixed(2), cy: y.toFixed(2), r: r + edgeWidth / 2, fill: colour, stroke: edge,
      "stroke-width": edgeWidth });
  }

  #text([x, y], words, colour, size, bold, toward, u) {
    const made = this.#element("text", {
      x, y, fill: colour, "font-size": size, "font-weight": bold ? 700 : 400, "text-anchor": toward > 0 ? "end" : "start",
      stroke: this.style.halo, "stroke-width": 6 * u, "paint-order": "stroke", "stroke-linejoin": "round",
    });
    made.textContent = words;
  }
}

const calledAt = ({ marks, moment }) => NAMED[marks.progress[moment]] ?? "now";
const degreesAt = (line, moment) => `${String(line.degrees[moment]).replace("-", "\u2212")}°`;

/** How many vertices each coarse cell of a picture shows. */
function coverage(golfer, camera) {
  const columns = Math.ceil(camera.width / CELL), rows = Math.ceil(camera.height / CELL);
  const cells = new Uint8Array(columns * rows);
  for (const places of [golfer.positions, golfer.addressPositions]) {
    for (let k = 0; k < places.length; k += 9) {
      const [x, y] = camera.project([places[k], places[k + 1], places[k + 2]]);
      const column = Math.floor(x / CELL), row = Math.floor(y / CELL);
      if (column >= 0 && column < columns && row >= 0 && row < rows) cells[row * columns + column] = 1;
    }
  }
  return { cells, columns, rows };
}

/** Marks the coarse cells along a line. */
function cover({ cells, columns, rows }, points) {
  for (let k = 1; k < points.length; k++) {
    const [[x, y], [toX, toY]] = [points[k - 1], points[k]];
    const steps = Math.max(1, Math.ceil((3 * Math.hypot(toX - x, toY - y)) / CELL));
    for (let step = 0; step <= steps; step++) {
      const column = Math.floor((x + ((toX - x) * step) / steps) / CELL);
      const row = Math.floor((y + ((toY - y) * step) / steps) / CELL);
      if (column >= 0 && column < columns && row >= 0 && row < rows) cells[row * columns + column] = 1;
    }
  }
}

/** The share of a box's coarse cells that are covered. */
function share({ cells, columns, rows }, [left, top, right, bottom]) {
  let hidden = 0, all = 0;
  for (let row = Math.max(0, Math.floor(top / CELL)); row <= Math.min(rows - 1, bottom / CELL); row++) {
    for (let column = Math.max(0, Math.floor(left / CELL)); column <= Math.min(columns - 1, right / CELL); column++) {
      hidden += cells[row * columns + column];
      all += 1;
    }
  }
  return hidden / Math.max(all, 1);
}

/** Where along the left or right edge words hide least and stand nearest to what they name (render/pictures/marks.py). */
function freePlace(camera, covered, [width, height], [x, y], margin, taken) {
  let best = null, least = Infinity;
  for (const middle of [margin + width / 2, camera.width - margin - width / 2]) {
    for (let down = margin + height / 2; down < camera.height - margin - height / 2; down += 8) {
      const box = [middle - width / 2, down - height / 2, middle + width / 2, down + height / 2];
      const hidden = share(covered, box);
      const clash = taken.filter((b) => box[0] < b[2] && b[0] < box[2] && box[1] < b[3] && b[1] < box[3]).length;
      const cost = 0.5 * (hidden > 0) + 12 * hidden + 10 * clash +
        (Math.abs(middle - x) + 5 * Math.abs(down - y)) / camera.width;
      if (cost < least) [best, least] = [box, cost];
    }
  }
  if (!best) return null;
  taken.push(best);
  return [(best[0] + best[2]) / 2, (best[1] + best[3]) / 2];
}

/** Whether an orbit is the view's own place. */
export const isHome = (orbit) => Object.keys(AT_HOME).every((name) => Math.abs(orbit[name] - AT_HOME[name]) < 1e-9);
