// The golfers of the page: a row a view, in it the swing that is kept and the one that the sliders set.
import { Window, canDraw } from "../../render/web/draw.js";
import { Golfer } from "../../render/web/scene.js";
import { AT_HOME, Camera } from "../../render/web/camera.js";
import { isHome } from "../../render/web/marks.js";
import { Panel, Show, Turning } from "../../render/web/view.js";

export class Golfers {
  /**
   * start: what the page begins with; elements: of the views; chips: boxes that say which views are seen; views: the
   * element around them; onframe(time): what is new is taken in, and the moment told that is to be drawn; onwrite():
   * what is told of it is written, in the same go.
   */
  constructor({ start, elements, chips, views, onframe, onwrite }) {
    this.start = start;
    this.show = canDraw() ? new Show(new Window(start.settings), start.settings.marks) : null;
    this.answers = { now: null, kept: null };
    this.golfers = { now: null, kept: null };
    this.rows = elements.map((element) => this.#row(element));
    for (const box of chips) this.#chip(box, views);
    if (!this.show) return;
    this.show.onframe = (time) => {
      const moment = onframe(time);
      for (const golfer of Object.values(this.golfers)) golfer?.show(Math.min(moment, golfer.last));
    };
    this.show.onwrite = onwrite;
    this.show.onturned = () => {
      for (const { turning, back } of this.rows) back.hidden = isHome(turning.orbit);
    };
  }

  #row(element) {
    const view = element.dataset.view, turning = new Turning();
    const back = element.querySelector(".back");
    back.addEventListener("click", () => {
      turning.orbit = { ...AT_HOME };
      back.hidden = true;
      this.show.changed();
      element.querySelector('[data-who="now"] .panel').focus({ preventScroll: true });
    });
    return { element, view, turning, back, panels: { now: null, kept: null } };
  }

  #chip(box, views) {
    const apply = () => {
      this.rows.find(({ view }) => view === box.value).element.hidden = !box.checked;
      const count = Math.max(1, this.rows.filter(({ element }) => !element.hidden).length);
      views.style.setProperty("--shown", count);
      views.dataset.shown = count;
      this.show?.changed({ moving: false });
    };
    box.addEventListener("change", apply);
    if (box.value === "above" && matchMedia("(max-width: 700px)").matches) box.checked = false;
    apply();
  }

  /** An answer is drawn, as "now" or as "kept"; null: nothing any more. */
  take(who, answer) {
    this.answers[who] = answer;
    if (!this.show) return;
    if (answer) this.#place(who, answer);
    else if (this.golfers[who]) {
      this.show.window.forget(this.golfers[who]);
      this.golfers[who] = null;
    }
    this.#setPanels();
    this.#aim();
  }

  #place(who, { figure, motion }) {
    if (this.golfers[who]) this.golfers[who].take(figure, motion);
    else this.golfers[who] = new Golfer(figure, motion, this.start.settings.sun);
    for (const { panels } of this.rows) {
      if (panels[who]) panels[who].golfer = this.golfers[who];
    }
  }

  #setPanels() {
    for (const row of this.rows) {
      for (const who of ["kept", "now"]) {
        const golfer = this.golfers[who], made = row.panels[who];
        const figure = row.element.querySelector(`[data-who="${who}"]`);
        figure.hidden = !golfer;
        if (golfer && !made) {
          const place = figure.querySelector(".panel"), { marks } = this.start.settings;
          row.panels[who] = new Panel(place, golfer, row.view, this.#camera(row.view, who), marks, row.turning);
          this.show.add(row.panels[who]);
        } else if (!golfer && made) {
          this.show.remove(made);
          row.panels[who] = null;
        }
      }
      row.element.classList.toggle("two", this.golfers.kept !== null);
    }
  }

  /** The cameras of all panels: a left-hander is seen from the other side, and who is too tall from farther away. */
  #aim() {
    for (const { view, panels } of this.rows) {
      for (const [who, panel] of Object.entries(panels)) {
        if (panel) panel.base = new Camera(this.#camera(view, who));
      }
    }
  }

  /** One tripod a hand for the whole lesson, so that places can be compared, unless a golfer is too tall for it. */
  #camera(view, who) {
    const { tripods, usual_stature_cm: usual } = this.start;
    const statures = Object.values(this.answers).filter(Boolean).map((one) => one.message.values.body?.stature_cm ?? usual);
    const tallest = Math.max(...statures);
    const { cameras } = tripods.find(({ fits_cm: fits }) => tallest <= fits + 1e-6) ?? tripods.at(-1);
    return cameras[this.golfers[who].figure.leftHanded ? "left" : "right"][view];
  }
}
