// Panels that show golfers, the fingers that turn them, and when what is drawn: all of one page in step.
import { AT_HOME, Camera, heldOrbit } from "./camera.js";
import { Marks, SVG_NAMES, isHome } from "./marks.js";

const TWICE_MS = 350, TAP_PX = 24, NEVER = { time: -Infinity, at: [0, 0] };
const RAD_PER_PX = 0.008, KEY_STEP = Math.PI / 36, ZOOM_STEP = 1.15;
const REST_MS = 160; // After so long without a change, a picture is drawn smoothly.
const SLOW_MS = 25, LEAST_SCALE = 0.5; // A drawing this slow is told from a fluent one.
const MOST_PIXEL_RATIO = 2;

const apart = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1]);

/** One golfer from one view: a canvas, the marks over it, and how far it has been turned. */
export class Panel {
  /** place: the element to fill; orbit: shared by panels that turn together. */
  constructor(place, golfer, view, camera, style, turning) {
    Object.assign(this, { golfer, view, turning });
    this.base = new Camera(camera);
    this.place = place;
    this.canvas = document.createElement("canvas");
    this.context = this.canvas.getContext("2d", { alpha: false });
    this.svg = document.createElementNS(SVG_NAMES, "svg");
    this.svg.setAttribute("aria-hidden", "true");
    this.canvas.setAttribute("aria-hidden", "true");
    this.canvas.style.visibility = "hidden"; // Black, until something is drawn.
    place.style.aspectRatio = `${camera.width} / ${camera.height}`;
    place.append(this.canvas, this.svg);
    this.marks = new Marks(this.svg, style);
    this.visible = true; // Near enough to what is seen of the page.
  }

  /** The canvas's own pixels follow the size it is shown at; whether it is shown at all. */
  fit() {
    this.shown = this.visible && this.place.offsetParent !== null;
    if (!this.shown) return;
    const ratio = Math.min(devicePixelRatio || 1, MOST_PIXEL_RATIO), box = this.place.getBoundingClientRect();
    this.cssWidth = box.width;
    const width = Math.round(box.width * ratio), height = Math.round(box.height * ratio);
    this.shown = width > 0 && height > 0;
    if (!this.shown || (this.canvas.width === width && this.canvas.height === height)) return;
    this.canvas.width = width;
    this.canvas.height = height;
  }

  get camera() {
    const home = isHome(this.turning.orbit);
    return home ? this.base : this.base.orbited(this.golfer.marks.middle_m, this.turning.orbit);
  }
}

/** How panels that turn together are turned. */
export class Turning {
  constructor(orbit = { ...AT_HOME }) {
    this.orbit = orbit;
  }
}

/** Draws all panels of a page with one window: what is turned or played as often as the screen shows, what has come at once. */
export class Show {
  constructor(window_, style) {
    this.window = window_;
    this.style = style;
    this.panels = [];
    this.scale = 1;
    this.asked = false;
    this.movedAt = -Infinity;
    this.awaited = false;
    this.window.onrestored = () => this.changed();
    this.sizes = new ResizeObserver(() => this.changed({ moving: false }));
    this.seen = new IntersectionObserver((entries) => {
      for (const entry of entries) {
        const panel = this.panels.find((one) => one.place === entry.target);
        if (panel) panel.visible = entry.isIntersecting;
      }
      this.changed({ moving: false });
    }, { rootMargin: "200px" });
  }

  add(panel) {
    this.panels.push(panel);
    this.sizes.observe(panel.place);
    this.seen.observe(panel.place);
    this.#handle(panel);
    this.changed({ moving: false });
  }

  remove(panel) {
    this.panels = this.panels.filter((one) => one !== panel);
    this.window.leave(panel);
    this.sizes.unobserve(panel.place);
    this.seen.unobserve(panel.place);
    panel.place.replaceChildren();
  }

  /** Something is to be seen anew; while it moves, edges are left rough and pixels few on slow machines. */
  changed({ moving = true } = {}) {
    if (moving) this.movedAt = performance.now();
    if (this.asked) return;
    this.asked = true;
    requestAnimationFrame(() => this.#frame());
  }

  /** What was awaited is here: it is drawn at once, not with the screen's next picture, which takes as long once more. */
  came() {
    this.movedAt = performance.now();
    if (!this.asked) this.#frame();
  }

  /** As long as more is awaited nothing comes to rest: a smooth picture takes its time, and what comes would wait for it. */
  awaits(awaited) {
    this.awaited = awaited;
    if (!awaited && this.rough) this.#rest();
  }

  #rest() {
    clearTimeout(this.resting);
    this.resting = setTimeout(() => this.awaited || this.changed({ moving: false }), REST_MS);
  }

  #frame() {
    this.asked = false;
    const started = performance.now(), moving = this.awaited || started - this.movedAt < REST_MS;
    // Sizes are asked for before anything is written, or the page would be laid out twice.
    for (const panel of this.panels) panel.fit();
    this.onframe?.(started);
    // While a picture is being drawn, beside this script, what else there is to do is done.
    let meanwhile = this.onwrite;
    for (const panel of this.panels) {
      if (panel.shown === undefined) panel.fit();
      if (!panel.shown) continue;
      const camera = panel.camera;
      this.window.draw(panel, panel.golfer, camera, { still: !moving, scale: moving ? this.scale : 1 });
      meanwhile?.();
      this.window.show(panel);
      meanwhile = () => panel.marks.draw(panel.golfer, panel.view, camera, {
        home: isHome(panel.turning.orbit), cssWidth: panel.cssWidth, settle: !moving,
      });
    }
    meanwhile?.();
    this.took = performance.now() - started;
    this.rough = moving;
    if (moving) {
      if (this.took > SLOW_MS) this.scale = Math.max(LEAST_SCALE, this.scale * 0.8);
      else if (this.took < 0.3 * SLOW_MS) this.scale = Math.min(1, this.scale * 1.1);
      this.#rest();
    }
    this.ondrawn?.();
  }

  /** Turns by drag, nearer by pinch or wheel with a key, back by a double tap; the same by keys. */
  #handle(panel) {
    const { place } = panel, fingers = new Map();
    const turn = (change) => {
      const { orbit } = panel.turning;
      panel.turning.orbit = heldOrbit(panel.base, {
        yaw: orbit.yaw + (change.yaw ?? 0), pitch: orbit.pitch + (change.pitch ?? 0), zoom: orbit.zoom * (change.zoom ?? 1),
      });
      this.changed();
      this.onturned?.(panel);
    };
    const home = () => {
      panel.turning.orbit = { ...AT_HOME };
      this.changed();
      this.onturned?.(panel);
    };
    let tapped = NEVER;
    place.addEventListener("pointerdown", (event) => {
      place.setPointerCapture(event.pointerId);
      const at = [event.clientX, event.clientY], time = event.timeStamp;
      fingers.set(event.pointerId, at);
      // Counted here, since not every browser tells of a double tap.
      const twice = time - tapped.time < TWICE_MS && apart(at, tapped.at) < TAP_PX;
      tapped = twice || fingers.size > 1 ? NEVER : { time, at };
      if (twice && fingers.size === 1) home();
    });
    place.addEventListener("pointermove", (event) => {
      const before = fingers.get(event.pointerId);
      if (!before) return;
      const now = [event.clientX, event.clientY], others = [...fingers].filter(([id]) => id !== event.pointerId);
      if (apart(now, tapped.at) > TAP_PX) tapped = NEVER;
      const change = {
        yaw: (RAD_PER_PX * (now[0] - before[0])) / (others.length + 1),
        pitch: (RAD_PER_PX * (now[1] - before[1])) / (others.length + 1),
      };
      if (others.length === 1) {
        change.zoom = apart(now, others[0][1]) / Math.max(apart(before, others[0][1]), 1);
      }
      fingers.set(event.pointerId, now);
      turn(change);
    });
    for (const name of ["pointerup", "pointercancel"]) {
      place.addEventListener(name, (event) => fingers.delete(event.pointerId));
    }
    place.addEventListener("wheel", (event) => {
      if (!event.ctrlKey && !event.metaKey) return;
      event.preventDefault();
      turn({ zoom: Math.exp(-0.002 * event.deltaY) });
    }, { passive: false });
    place.addEventListener("keydown", (event) => {
      const change = {
        ArrowLeft: { yaw: -KEY_STEP }, ArrowRight: { yaw: KEY_STEP }, ArrowUp: { pitch: -KEY_STEP },
        ArrowDown: { pitch: KEY_STEP }, "+": { zoom: ZOOM_STEP }, "=": { zoom: ZOOM_STEP }, "-": { zoom: 1 / ZOOM_STEP },
      }[event.key];
      if (change) turn(change);
      else if (event.key === "Home" || event.key === "Escape") home();
      else return;
      event.preventDefault();
    });
  }
}
