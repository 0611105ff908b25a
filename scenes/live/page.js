// The live page: sliders at the left, golfers and what is told of them at the right, all of them one moment of one swing.
import { chiefMoment, momentName, playedMoment } from "../../render/web/moments.js";
import { Settings, copy, mark, same, tell } from "./settings.js";
import { Follower, opened } from "./server.js";
import { Control } from "./controls.js";
import { Golfers } from "./golfers.js";
import { Chart, Numbers, limitLines, roomWords, stoppedWords, tellLines } from "./readout.js";
import { Strike } from "./strike.js";
import { saveFrom } from "./saving.js";

const TELL_AFTER_MS = 500; // A screen reader is told when the finger rests.
const PALE_AFTER_MS = 300; // An answer that takes longer is told to be on its way; at each one the page would be painted twice.

const start = JSON.parse(document.getElementById("live-start").textContent);
const by = (id) => document.getElementById(`live-${id}`);
const ofTheBody = new Set(start.body_sections);
const settings = new Settings(start.swings.at(-1));
const shown = { now: null, kept: null }; // Answers: the swing that the sliders set, and the one that is kept beside it.
let begins = start.swings.length > 1 ? start.swings[0] : null;
let pending = null, moment = null, playing = null, asksForRoom = false;
let through = start.through; // Where swings are to end; where those that are shown end, their messages say.
let movedLast = null; // The slider whose swing is waited for.
let paling = 0; // Until what is told is paled.
let refused = ""; // Why what is set cannot be; the swing that is shown is then another one.

const golfers = new Golfers({
  start, elements: [...document.querySelectorAll("#live-views .view")], chips: document.querySelectorAll("#live-chips input"),
  views: by("views"),
  onframe: (time) => {
    take();
    if (playing !== null) moment = playedMoment(shown.now.progress, time - playing);
    return moment;
  },
  onwrite: () => write(),
});
const { show } = golfers;
by("no-figure").hidden = show !== null;
document.body.classList.toggle("bare", show === null);
if (show) show.ondrawn = () => {
  if (playing !== null) show.changed();
  document.body.dataset.drawn = Number(document.body.dataset.drawn ?? 0) + 1;
};
const numbers = new Numbers(by("numbers"), start.measures);
const strike = new Strike(by, start.strike, () => follower.atRest());
const charts = start.charts.map((one) => new Chart(by(`chart-${one.key}`), one));

// ---- asking

function tellWrong(wrong) {
  by("wrong").textContent = wrong.message;
  by("wrong").hidden = false;
  document.documentElement.classList.add("told"); // So that the page has room for it at its end.
  document.body.classList.toggle("lost", wrong.lost === true);
}

function tellRefused(wrong) {
  refused = wrong.lost ? "" : `${wrong.message} Undo takes it back.`;
  tellWrong({ message: refused || wrong.message, lost: wrong.lost });
  // It is told where the finger is, too: on a phone the top of the page is far away.
  markRefused(refused || wrong.message);
}

function markRefused(sentence) {
  for (const control of controls) control.refuse(control.told === movedLast ? sentence : "");
}

const plain = ({ name, values, timing }) => ({ name, values, timing });
const message = () => ({ ...plain(settings.now), through, most_hip_turn: asksForRoom });
const ask = () => follower.want(message(), settings.kept);
const follower = new Follower({
  onanswer: (answer) => {
    pending = answer;
    refused = "";
    by("wrong").hidden = true;
    document.documentElement.classList.remove("told");
    markRefused("");
    document.body.classList.remove("lost");
    if (show) return show.came();
    take();
    write();
  },
  onwrong: tellRefused,
  onasked: (asking) => {
    document.body.classList.toggle("asking", asking);
    clearTimeout(paling);
    if (asking) paling = setTimeout(() => document.body.classList.add("slow"), PALE_AFTER_MS);
    else document.body.classList.remove("slow");
    show?.awaits(asking);
  },
});

/** A swing is left with a question, since nobody else remembers it. */
addEventListener("beforeunload", (event) => {
  if (settings.changed) event.preventDefault();
});

function changed(done) {
  for (const control of controls) control.show();
  showButtons();
  ask();
  if (done) settings.mark();
}

/** What has come is drawn and written in one go, so that the picture and the numbers are never of two swings. */
function take() {
  if (!pending) return;
  const before = shown.now;
  shown.now = pending.now;
  pending = null;
  const last = shown.now.progress.length - 1;
  if (before?.progress.length !== last + 1) moment = chiefMoment(shown.now.progress);
  by("way").max = last;
  golfers.take("now", shown.now);
  if (begins) {
    // What the page begins with beside it comes second, so that the page is soon there.
    settings.beginBeside(plain(begins));
    begins = null;
    ask();
  }
  placeKept();
  showControls();
}

// ---- the moment

function goTo(next) {
  moment = Math.max(0, Math.min(Number(by("way").max), next));
  if (show) show.changed();
  else write();
}
function stop() {
  if (playing === null) return;
  playing = null;
  by("play").textContent = "Play";
  write();
}
by("play").addEventListener("click", () => {
  if (!shown.now) return;
  if (playing !== null) return stop();
  playing = performance.now();
  by("play").textContent = "Pause";
  if (show) show.changed();
  else requestAnimationFrame(playNumbers);
});
/** Where no golfers are drawn, what is told of them is played all the same. */
function playNumbers(time) {
  if (playing === null) return;
  moment = playedMoment(shown.now.progress, Math.max(0, time - playing));
  write();
  requestAnimationFrame(playNumbers);
}
by("way").addEventListener("input", () => {
  stop();
  goTo(Number(by("way").value));
});

// ---- what is told

let toldLast = "", telling = 0;

function write() {
  if (!shown.now) return;
  by("tells").hidden = false;
  tell(by("name"), settings.called(plain(shown.now.message)));
  const answers = [shown.kept, shown.now].filter(Boolean), { report } = shown.now, at = (one) => one.report.moments[moment];
  const when = momentName(shown.now.progress, moment);
  tell(by("when"), when === "past the ball" ? "Past the ball" : `At ${when === "top" ? "the " : ""}${when}`);
  tell(by("told"), when);
  by("way").value = moment;
  mark(by("way"), "aria-valuetext", when);
  const courses = answers.map((one) => ({ moments: one.report.moments, ...(one === shown.now
    ? { name: "this one", style: start.styles[0] } : { name: "kept", style: start.styles[1] }) }));
  numbers.show(answers.map(at));
  for (const chart of charts) chart.show(courses, at(shown.now).progress);
  strike.show(answers);
  const head = report.heads[moment];
  tell(by("head"), head);
  tell(by("holds"), report.sentences[1]);
  tell(by("room"), roomWords(report.hip_room));
  const told = limitLines(report), now = stoppedWords(at(shown.now));
  tellLines(by("limits"), told);
  tell(by("limits-now"), now);
  by("limits-now").hidden = now === "";
  by("free").hidden = told.length > 0 || now !== "";
  for (const element of document.querySelectorAll(".of-kept")) element.hidden = !shown.kept;
  document.body.classList.toggle("kept", shown.kept !== null);
  document.body.classList.toggle("through", report.impact !== null);
  const said = when === "impact" ? `${head} ${report.impact.arc}` : head;
  // Of what plays nobody could follow a voice; where it stops is told.
  if (said !== toldLast && playing === null) {
    toldLast = said;
    clearTimeout(telling);
    telling = setTimeout(() => (by("say").textContent = toldLast), TELL_AFTER_MS);
  }
}

// ---- sliders

const controls = [];
let full = false;

function build() {
  controls.length = 0;
  for (const element of document.querySelectorAll("#live-controls .group")) element.remove();
  for (const { title, open, on, controls: told } of full ? start.full : start.coach) {
    if (on && through !== "impact") continue;
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
      }, start.amounts[one.unit]);
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
    const { key, at } = control.told, impact = at === "impact" ? report?.impact : null;
    control.show(report && {
      achieved: at === "top" ? report.achieved[key] : impact?.achieved[key],
      departs: at === "top" ? report.steady[key.replace("_deg", "_departure_deg")] : impact?.departures_deg[key],
      room: report.hip_room?.most_hip_turn_deg ?? null,
    });
  }
}
by("full").addEventListener("change", () => {
  full = by("full").checked;
  build();
});

/** Where swings end, from now on; who asks something of impact wants to see it. */
function endAt(where) {
  if (through === where) return;
  through = where;
  for (const one of ends) one.checked = one.value === where;
  movedLast = null;
  stop();
  build();
}
const ends = document.querySelectorAll('#live-ends input');
for (const one of ends) {
  one.checked = one.value === through;
  one.addEventListener("change", () => {
    endAt(one.value);
    ask();
  });
}

// ---- presets, undo, keeping

for (const [label, on] of [["up to the top", false], ["on the way down to the ball", true]]) {
  const group = document.createElement("optgroup");
  group.label = label;
  for (const { name, shows } of start.presets.filter((one) => one.on === on)) group.append(new Option(shows ? `${name}: ${shows}` : name, name));
  by("preset").append(group);
}
by("preset").addEventListener("change", () => {
  const preset = start.presets.find(({ name }) => name === by("preset").value);
  if (!preset) return;
  movedLast = null;
  if (preset.on) endAt("impact");
  settings.take(preset, ofTheBody);
  changed(true);
});
function step(how) {
  const { now } = settings;
  if (!settings[how]()) return;
  showKept();
  if (now === settings.now && follower.known(settings.kept, through) === shown.kept) return showButtons();
  movedLast = null;
  markRefused("");
  for (const control of controls) control.show();
  showButtons();
  ask();
}
for (const how of ["undo", "redo"]) by(how).addEventListener("click", () => step(how));
document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z" || by("saving").open) return;
  if (event.target.matches("input.number, input[type=text]")) return; // Letters are taken back there.
  event.preventDefault();
  step(event.shiftKey ? "redo" : "undo");
});
function showButtons() {
  const can = { undo: settings.canUndo, redo: settings.canRedo };
  // Who works by keys goes on with the other one: a button that is off lets go of them.
  for (const [how, other] of [["undo", "redo"], ["redo", "undo"]]) {
    if (by(how).disabled === !can[how]) continue;
    if (can[other]) by(other).disabled = false;
    if (can[other] && document.activeElement === by(how)) by(other).focus({ preventScroll: true });
    by(how).disabled = !can[how];
  }
  const named = presetName();
  if (by("preset").value !== named) by("preset").value = named;
}
/** The preset that all but the body is of, as it came, or none; taken again, it is then chosen anew. */
function presetName() {
  const { name, values, timing } = settings.now, preset = start.presets.find((one) => one.name === name);
  const own = (given) => Object.entries(given).filter(([section]) => !ofTheBody.has(section));
  return preset && same(own(preset.values), own(values)) && same(preset.timing, timing) ? name : "";
}
function keep(swing) {
  settings.kept = swing;
  settings.mark();
  showButtons();
  showKept();
}
/** Beside the swing that is shown, the kept one up to the same end: nothing until that is known. */
function placeKept() {
  const answer = shown.now && follower.known(settings.kept, shown.now.message.through);
  if (answer === shown.kept) return;
  shown.kept = answer;
  golfers.take("kept", answer);
  show?.changed();
}
function showKept() {
  placeKept();
  write();
}
by("keep").addEventListener("click", () => {
  if (!shown.now) return;
  const swing = plain(shown.now.message);
  if (settings.kept && same(settings.kept, swing)) return;
  follower.remember(swing, shown.now);
  keep(swing);
  by("say").textContent = "Kept beside this one.";
});
by("let-go").addEventListener("click", () => {
  keep(null);
  by("keep").focus({ preventScroll: true });
});
by("back-to-kept").addEventListener("click", () => {
  movedLast = null;
  settings.now = copy(settings.kept);
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
    const swing = await opened(file.name.replace(/\.toml$/i, "").slice(0, 60), await file.text());
    if (swing.on) endAt("impact");
    settings.open(plain(swing));
    changed(true);
  } catch (wrong) {
    tellWrong(wrong);
  }
  by("file").value = "";
});

saveFrom(by, start.sections, () => follower.atRest(), () => ({
  now: plain(settings.now), kept: shown.kept && settings.kept, through, called: (swing) => settings.called(swing), refused,
}));

build();
showButtons();
ask();
