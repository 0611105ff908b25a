// The comparison's golfers: one row a view, all in step, played or moved by hand.
import { unzipped } from "../../render/web/payload.js";
import { Figure, Motion } from "../../render/web/figure.js";
import { Window, canDraw } from "../../render/web/draw.js";
import { Golfer } from "../../render/web/scene.js";
import { isHome } from "../../render/web/marks.js";
import { AT_HOME } from "../../render/web/camera.js";
import { chiefMoment, momentName, playedMoment } from "../../render/web/moments.js";
import { Panel, Show, Turning } from "../../render/web/view.js";

const section = document.getElementById("turning"), stills = document.getElementById("stills");
if (canDraw()) {
  await begin();
  fold();
}

// What the still pictures show the golfers show as well, but on paper.
function fold() {
  let before = (stills.open = false);
  addEventListener("beforeprint", () => {
    before = stills.open;
    stills.open = true;
  });
  addEventListener("afterprint", () => {
    stills.open = before;
  });
}

async function begin() {
  const data = JSON.parse(document.getElementById("turning-data").textContent);
  const packed = (name) => Promise.all([...document.querySelectorAll(name)].map((one) => unzipped(one.textContent)));
  const figures = (await packed(".turning-figure")).map((bytes) => new Figure(bytes));
  const motions = (await packed(".turning-motion")).map((bytes) => new Motion(bytes));
  const golfers = data.swings.map((swing, k) => new Golfer(figures[swing.figure], motions[k], data.settings.sun));
  const play = document.getElementById("turning-play"), way = document.getElementById("turning-way");
  const told = document.getElementById("turning-told");
  const last = golfers[0].last, progress = golfers[0].marks.progress;
  let moment = section.dataset.opens === "impact" ? chiefMoment(progress) : progress.indexOf(1), playing = null;

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

  function tell() {
    const words = momentName(progress, moment);
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
  function follow(time) {
    moment = playedMoment(progress, time - playing);
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
  at(moment);
}
