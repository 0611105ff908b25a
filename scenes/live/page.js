// The live page: sliders at the left, golfers and what is told of them at the right, all of them one moment of one swing.
import { Window, canDraw } from "../../render/web/draw.js";
import { Golfer } from "../../render/web/scene.js";
import { AT_HOME, Camera } from "../../render/web/camera.js";
import { isHome } from "../../render/web/marks.js";
import { Panel, Show, Turning } from "../../render/web/view.js";
import { Settings, copy, shownNumber } from "./settings.js";
import { Follower, opened, save } from "./server.js";
import { Control } from "./controls.js";
import { keepFile, presetText } from "./preset.js";
import { Chart, Numbers, tellLines } from "./readout.js";

const UP_MS = 1500, STAY_AT_TOP_MS = 900, BACK_MS = 900, STAY_AT_ADDRESS_MS = 500;
const TELL_AFTER_MS = 500; // A screen reader is told when the finger rests.

const start = JSON.parse(document.getElementById("live-start").textContent);
const by = (id) => document.getElementById(`live-${id}`);
const ofTheBody = new Set(start.body_sections);
const settings = new Settings(start.swings.at(-1));
const shown = { now: null, kept: null }; // Answers: the swing that the sliders set, and the one that is kept beside it.
let begins = start.swings.length > 1 ? start.swings[0] : null;
let pending = null, moment = null, playing = null, asksForRoom = false;
let movedLast = null; // The slider whose swing is waited for.

const show = canDraw() ? new Show(new Window(start.settings), start.settings.marks) : null;
if (!show) by("no-figure").hidden = false;
const golfers = { now: null, kept: null };
const numbers = new Numbers(by("numbers"), start.measures);
const charts = start.charts.map((one) => new Chart(by(`chart-${one.key}`), one));

// ---- asking

function tellWrong(wrong) {
  by("wrong").textContent = wrong.lost === false ? `${wrong.message} Undo takes it back.` : wrong.message;
  by("wrong").hidden = false;
  document.body.classList.toggle("lost", wrong.lost === true);
  // It is told where the finger is, too: on a phone the top of the page is far away.
  markRefused(wrong.lost === false ? by("wrong").textContent : "");
}

function markRefused(sentence) {
  for (const control of controls) control.refuse(control.told === movedLast ? sentence : "");
}

const plain = ({ name, values, timing }) => ({ name, values, timing });
const message = () => ({ ...plain(settings.now), most_hip_turn: asksForRoom });
const follower = new Follower({
  onanswer: (answer) => {
    pending = answer;
    by("wrong").hidden = true;
    markRefused("");
    document.body.classList.remove("lost");
    if (show) return show.changed();
    take();
    write();
  },
  onwrong: tellWrong,
  onasked: (asking) => document.body.classList.toggle("asking", asking),
});

/** A swing is left with a question, since nobody else remembers it. */
addEventListener("beforeunload", (event) => {
  if (settings.changed) event.preventDefault();
});

function changed(done) {
  for (const control of controls) control.show();
  showButtons();
  follower.want(message());
  if (done) settings.mark();
}

/** What has come is drawn and written in one go, so that the picture and the numbers are never of two swings. */
function take() {
  if (!pending) return;
  shown.now = pending;
  pending = null;
  const last = shown.now.report.moments.length - 1;
  if (moment === null || moment > last) moment = last;
  by("way").max = last;
  if (show) place("now", shown.now);
  if (begins) {
    // What the page begins with beside it comes second, so that the page never shows that one alone.
    follower.answer(plain(begins)).then((kept) => {
      settings.beginBeside(kept);
      showKept();
    }, tellWrong);
    begins = null;
  }
  showControls();
}

function place(who, answer) {
  const { figure, motion } = answer;
  if (golfers[who]) golfers[who].take(figure, motion);
  else golfers[who] = new Golfer(figure, motion, start.settings.sun);
  for (const { panels } of rows) {
    if (panels[who]) panels[who].golfer = golfers[who];
  }
  setPanels();
  aim();
}

/** The cameras of all panels: a left-hander is seen from the other side, and who is too tall from farther away. */
function aim() {
  for (const { view, panels } of rows) {
    for (const [who, panel] of Object.entries(panels)) {
      if (panel) panel.base = new Camera(camera(view, who));
    }
  }
}

// ---- the golfers

const rows = [...document.querySelectorAll("#live-views .view")].map((element) => {
  const view = element.dataset.view, turning = new Turning();
  const back = element.querySelector(".back");
  back.addEventListener("click", () => {
    turning.orbit = { ...AT_HOME };
    back.hidden = true;
    show.changed();
  });
  return { element, view, turning, back, panels: { now: null, kept: null } };
});

function setPanels() {
  for (const row of rows) {
    for (const who of ["kept", "now"]) {
      const wanted = golfers[who] !== null, made = row.panels[who];
      const figure = row.element.querySelector(`[data-who="${who}"]`);
      figure.hidden = !wanted;
      if (wanted && !made) {
        const panel = new Panel(figure.querySelector(".panel"), golfers[who], row.view, camera(row.view, who), start.settings.marks, row.turning);
        row.panels[who] = panel;
        show.add(panel);
      } else if (!wanted && made) {
        show.remove(made);
        row.panels[who] = null;
      }
    }
    row.element.classList.toggle("two", golfers.kept !== null);
  }
}

const stature = (answer) => answer?.message.values.body?.stature_cm ?? (answer ? start.usual_stature_cm : 0);

/** One tripod a hand for the whole lesson, so that places can be compared, unless a golfer is too tall for it. */
function camera(view, who) {
  const tallest = Math.max(stature(shown.now), stature(shown.kept));
  const { cameras } = start.tripods.find(({ fits_cm: fits }) => tallest <= fits + 1e-6) ?? start.tripods.at(-1);
  return cameras[golfers[who].figure.leftHanded ? "left" : "right"][view];
}

if (show) {
  show.onframe = (time) => {
    take();
    if (playing !== null) follow(time);
    for (const golfer of Object.values(golfers)) golfer?.show(Math.min(moment, golfer.last));
    write();
  };
  show.ondrawn = () => {
    if (playing !== null) show.changed();
    document.body.dataset.drawn = Number(document.body.dataset.drawn ?? 0) + 1;
  };
  show.onturned = () => {
    for (const { turning, back } of rows) back.hidden = isHome(turning.orbit);
  };
}

for (const box of document.querySelectorAll("#live-chips input")) {
  const apply = () => {
    rows.find(({ view }) => view === box.value).element.hidden = !box.checked;
    by("views").style.setProperty("--shown", Math.max(1, rows.filter(({ element }) => !element.hidden).length));
    show?.changed({ moving: false });
  };
  box.addEventListener("change", apply);
  if (box.value === "above" && matchMedia("(max-width: 700px)").matches) box.checked = false;
  apply();
}

// ---- the moment

function goTo(next) {
  moment = Math.max(0, Math.min(Number(by("way").max), next));
  if (show) show.changed();
  else write();
}
function follow(time) {
  const last = Number(by("way").max), whole = UP_MS + STAY_AT_TOP_MS + BACK_MS + STAY_AT_ADDRESS_MS;
  const now = (time - playing) % whole;
  const share = now < UP_MS ? now / UP_MS : Math.max(0, Math.min(1, 1 - (now - UP_MS - STAY_AT_TOP_MS) / BACK_MS));
  moment = Math.round(share * last);
}
function stop() {
  playing = null;
  by("play").textContent = "Play";
}
by("play").addEventListener("click", () => {
  if (playing !== null) return stop();
  playing = performance.now();
  by("play").textContent = "Pause";
  show?.changed();
});
by("way").addEventListener("input", () => {
  stop();
  goTo(Number(by("way").value));
});

// ---- what is told

let toldLast = "", telling = 0;

function write() {
  if (!shown.now) return;
  by("tells").hidden = false;
  by("name").textContent = `${settings.now.name}${settings.changed ? ", changed" : ""}`;
  const answers = [shown.kept, shown.now].filter(Boolean), { report } = shown.now;
  const at = (answer) => answer.report.moments[Math.min(moment, answer.report.moments.length - 1)];
  numbers.show(answers.map(at));
  const last = report.moments.length - 1;
  const when = moment === 0 ? "address" : moment === last ? "top" : `${Math.round(100 * at(shown.now).progress)} %`;
  by("when").textContent = when;
  by("told").textContent = when;
  by("way").value = moment;
  by("way").setAttribute("aria-valuetext", when);
  const courses = answers.map((answer) => ({
    name: answer === shown.now ? "now" : "kept", style: start.styles[answer === shown.now ? 0 : 1],
    moments: answer.report.moments,
  }));
  for (const chart of charts) chart.show(courses, at(shown.now).progress);
  const head = report.heads[Math.min(moment, last)];
  by("head").textContent = head;
  by("holds").textContent = report.sentences[1];
  by("low").textContent = report.low_point;
  const room = report.hip_room;
  by("room").textContent = room
    ? `Asked for more hip turn, the hips would stop at ${shownNumber(room.most_hip_turn_deg, 0)}°` +
      `${room.stopped_by.length ? ` (${room.stopped_by.map(spoken).join(", ")})` : ""}. ${room.ceiling}`
    : "";
  // Warnings tell of every range that stops something, and of more.
  tellLines(by("limits"), report.warnings.length ? report.warnings : report.limited_by.map(limit));
  by("free").hidden = report.limited_by.length + report.warnings.length > 0;
  for (const element of document.querySelectorAll(".of-kept")) element.hidden = !shown.kept;
  document.body.classList.toggle("kept", shown.kept !== null);
  if (head !== toldLast) {
    toldLast = head;
    clearTimeout(telling);
    telling = setTimeout(() => (by("say").textContent = toldLast), TELL_AFTER_MS);
  }
}

const spoken = (name) => name.replaceAll("_", " ");
function limit({ range, from_progress: from, to_progress: to, at_top: atTop }) {
  const share = (part) => `${Math.round(100 * part)} %`;
  return `${spoken(range)} stops the body from ${share(from)} ${atTop ? "to the top" : `to ${share(to)} of the backswing`}`;
}

// ---- sliders

const controls = [];
let full = false;

function build() {
  controls.length = 0;
  for (const element of document.querySelectorAll("#live-controls .group")) element.remove();
  for (const { title, open, controls: told } of full ? start.full : start.coach) {
    const group = document.createElement("details"), summary = document.createElement("summary");
    group.className = "group";
    group.open = open;
    summary.textContent = title;
    group.append(summary);
    for (const one of told) {
      const control = new Control(one, settings, (changes, done) => {
        asksForRoom = one.flare === true;
        movedLast = one;
        settings.set(changes);
        // Another body takes a second to be shaped, so it is asked for when the finger is off.
        if (!done && one.parts.some(([section, key]) => ofTheBody.has(section) || key === "club_length_cm")) control.show();
        else changed(done);
      });
      controls.push(control);
      group.append(control.element);
    }
    by("controls").append(group);
  }
  showControls();
}

/** Sliders and what is told under them. */
function showControls() {
  const report = shown.now?.report;
  for (const control of controls) {
    const { key } = control.told;
    control.show(report && {
      achieved: report.achieved[key], departs: report.steady[key.replace("_deg", "_departure_deg")],
      room: report.hip_room?.most_hip_turn_deg ?? null,
    });
  }
}
by("full").addEventListener("change", () => {
  full = by("full").checked;
  build();
});

// ---- presets, undo, keeping

for (const { name, shows } of start.presets) by("preset").append(new Option(shows ? `${name}: ${shows}` : name, name));
by("preset").addEventListener("change", () => {
  const preset = start.presets.find(({ name }) => name === by("preset").value);
  if (!preset) return;
  movedLast = null;
  settings.take(preset, ofTheBody);
  changed(true);
});
function step(how) {
  const { now } = settings;
  if (!settings[how]()) return;
  if (settings.kept !== shown.kept) showKept();
  if (now === settings.now) return showButtons();
  movedLast = null;
  markRefused("");
  for (const control of controls) control.show();
  showButtons();
  follower.want(message());
}
by("undo").addEventListener("click", () => step("undo"));
by("redo").addEventListener("click", () => step("redo"));
document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z" || by("saving").open) return;
  if (event.target.matches("input.number, input[type=text]")) return; // Letters are taken back there.
  event.preventDefault();
  step(event.shiftKey ? "redo" : "undo");
});
function showButtons() {
  by("undo").disabled = !settings.canUndo;
  by("redo").disabled = !settings.canRedo;
}
function keep(answer) {
  settings.kept = answer;
  settings.mark();
  showButtons();
  showKept();
}
function showKept() {
  const answer = shown.kept = settings.kept;
  if (show) {
    if (answer) place("kept", answer);
    else {
      if (golfers.kept) show.window.forget(golfers.kept);
      golfers.kept = null;
      setPanels();
      if (golfers.now) aim();
    }
    show.changed();
  }
  write();
}
by("keep").addEventListener("click", () => {
  if (shown.now) keep(shown.now);
});
by("let-go").addEventListener("click", () => keep(null));
by("back-to-kept").addEventListener("click", () => {
  movedLast = null;
  settings.now = copy(plain(shown.kept.message));
  changed(true);
});

// ---- opening and saving

by("open").addEventListener("click", () => by("file").click());
by("file").addEventListener("change", async () => {
  const [file] = by("file").files;
  if (!file) return;
  try {
    movedLast = null;
    if (file.size > start.largest_file) throw new Error(`${file.name} is too large for a preset; choose another file.`);
    settings.now = copy(plain(await opened(file.name.replace(/\.toml$/i, "").slice(0, 60), await file.text())));
    changed(true);
  } catch (wrong) {
    tellWrong(wrong);
  }
  by("file").value = "";
});

by("save").addEventListener("click", () => {
  by("saved").textContent = "";
  by("save-replace").checked = false;
  by("save-name").value = settings.now.name;
  by("save-text").value = presetText(settings.now, start.sections);
  by("save-here").open = document.body.classList.contains("lost");
  by("saving").showModal();
});
by("save-close").addEventListener("click", () => by("saving").close());
by("save-copy").addEventListener("click", async () => {
  by("save-text").select();
  try {
    await navigator.clipboard.writeText(by("save-text").value);
    by("saved").textContent = "Copied; put it into a file that ends in .toml.";
  } catch {
    by("saved").textContent = "The browser does not let a page copy; the text is selected, so copy it with Ctrl-C.";
  }
});
by("save-file").addEventListener("click", () => {
  const name = `${by("save-name").value.trim().replaceAll(/[^\w .-]+/g, "-") || "swing"}.toml`;
  keepFile(name, by("save-text").value);
  by("saved").textContent = `Your browser keeps ${name} where it keeps downloads.`;
});
by("save-form").addEventListener("submit", async (event) => {
  event.preventDefault();
  const kind = by("save-as").value, told = by("saved");
  if (!by("save-name").value.trim()) {
    told.textContent = "A name needs letters or digits; give it one first.";
    return;
  }
  const both = kind === "page" || kind === "film";
  const setups = [...(both && shown.kept ? [plain(shown.kept.message)] : []), plain(settings.now)];
  told.textContent = kind === "film" ? "Making it; this takes half a minute." : kind === "preset" ? "Saving." : "Making it.";
  const button = event.target.querySelector("button[type=submit]");
  button.disabled = true;
  try {
    told.textContent = await save({ as: kind, name: by("save-name").value.trim(), setups, replace: by("save-replace").checked });
  } catch (wrong) {
    told.textContent = wrong.message;
    if (wrong.lost) by("save-here").open = true;
  }
  button.disabled = false;
});

build();
showButtons();
follower.want(message());
