// The comparison's golfers: one row a view, all in step, played or moved by hand.
import { unzipped } from "../../render/web/payload.js";
import { Figure, Motion } from "../../render/web/figure.js";
import { Window, canDraw } from "../../render/web/draw.js";
import { Golfer } from "../../render/web/scene.js";
import { isHome } from "../../render/web/marks.js";
import { AT_HOME } from "../../render/web/camera.js";
import { Panel, Show, Turning } from "../../render/web/view.js";

const UP_MS = 1500, REST_MS_AT_TOP = 900, BACK_MS = 900, REST_MS_AT_ADDRESS = 500;
// A swing that goes on: down in a third of the backswing's time, on past the ball, a rest there; then anew.
const DOWN_MS = 500, PAST_MS = 140, REST_MS_PAST = 900, SHORT_REST_MS = 250;

const section = document.getElementById("turning");
if (canDraw()) await begin();

async function begin() {
  const data = JSON.parse(document.getElementById("turning-data").textContent);
  const packed = (name) => Promise.all([...document.querySelectorAll(name)].map((one) => unzipped(one.textContent)));
  const figures = (await packed(".turning-figure")).map((bytes) => new Figure(bytes));
  const motions = (await packed(".turning-motion")).map((bytes) => new Motion(bytes));
  const golfers = data.swings.map((swing, k) => new Golfer(figures[swing.figure], motions[k], data.settings.sun));
  const play = document.getElementById("turning-play"), way = document.getElementById("turning-way");
  const told = document.getElementById("turning-told");
  const last = golfers[0].last, progress = golfers[0].marks.progress;
  const top = progress.indexOf(1), ball = progress.indexOf(2);
  let moment = top, playing = null;

  section.hidden = false;
  const show = new Show(new Window(data.settings), data.settings.marks);
  const rows = [...section.querySelectorAll(".row")].map((row) => {
    const view = row.dataset.view, turning = new Turning();
    const panels = [...row.querySelectorAll(".panel")].map((place, k) => {
      const panel = new Panel(place, golfers[k], view, data.swings[k].cameras[view], data.settings.marks, turning);
      panel.now = place.parentElement.querySelector(".now");
      panel.words = motions[k].header.told.words[view];
      return panel;
    });
    const back = row.querySelector(".back");
    back.addEventListener("click", () => {
      turning.orbit = { ...AT_HOME };
      back.hidden = true;
      show.changed();
      panels[0].place.focus();
    });
    return { row, view, turning, panels, back };
  });
  for (const { panels } of rows) panels.forEach((panel) => show.add(panel));
  show.onturned = () => {
    for (const { turning, back } of rows) back.hidden = isHome(turning.orbit);
  };
  show.onframe = (time) => {
    if (playing !== null) follow(time);
    for (const golfer of golfers) golfer.show(moment);
  };

  function called() {
    if (moment === 0) return "address";
    if (moment < top) return `${Math.round(100 * progress[moment])} %`;
    if (moment === top) return "top";
    if (moment === ball) return "impact";
    return moment < ball ? `${Math.round(100 * (progress[moment] - 1))} % down` : "past the ball";
  }
  function tell() {
    const words = called();
    told.textContent = words;
    way.value = moment;
    way.setAttribute("aria-valuetext", words);
    for (const { panels } of rows) for (const panel of panels) panel.now.textContent = panel.words?.[moment] ?? "";
  }
  function at(next) {
    moment = Math.max(0, Math.min(last, next));
    tell();
    show.changed();
  }
  // Up, a rest at the top, back, a rest at address; and again.
  function follow(time) {
    if (ball > 0) return followThrough(time);
    const whole = UP_MS + REST_MS_AT_TOP + BACK_MS + REST_MS_AT_ADDRESS, now = (time - playing) % whole;
    const share = now < UP_MS ? now / UP_MS : Math.max(0, Math.min(1, 1 - (now - UP_MS - REST_MS_AT_TOP) / BACK_MS));
    moment = Math.round(share * last);
    tell();
  }
  function followThrough(time) {
    const stops = [[UP_MS, 0, top], [SHORT_REST_MS, top, top], [DOWN_MS, top, ball], [PAST_MS, ball, last],
      [REST_MS_PAST, last, last], [REST_MS_AT_ADDRESS, 0, 0]];
    let now = (time - playing) % stops.reduce((sum, [ms]) => sum + ms, 0);
    for (const [ms, from, to] of stops) {
      if (now < ms) {
        moment = Math.round(from + (now / ms) * (to - from));
        break;
      }
      now -= ms;
    }
    tell();
  }
  function stop() {
    playing = null;
    play.textContent = "Play";
  }
  show.ondrawn = () => {
    if (playing !== null) show.changed();
  };
  play.addEventListener("click", () => {
    if (playing !== null) return stop();
    playing = performance.now();
    play.textContent = "Pause";
    show.changed();
  });
  way.max = last;
  way.addEventListener("input", () => {
    stop();
    at(Number(way.value));
  });
  for (const box of section.querySelectorAll(".chips input")) {
    box.addEventListener("change", () => {
      rows.find(({ view }) => view === box.value).row.hidden = !box.checked;
      show.changed({ moving: false });
    });
  }
  at(top);
}
