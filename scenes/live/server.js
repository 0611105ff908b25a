// Asking the server: one question at a time, always about what is wanted now.
import { unzippedBytes } from "../../render/web/payload.js";
import { Figure, Motion } from "../../render/web/figure.js";

const KEPT_FIGURES = 4;

/** A sentence of the server's, or that there is none. */
export class Unanswered extends Error {
  constructor(sentence, lost) {
    super(sentence);
    this.lost = lost;
  }
}

async function post(path, message) {
  let answer;
  try {
    answer = await fetch(path, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify(message),
    });
  } catch {
    throw new Unanswered(
      "The server does not answer any more. What you see stays, and Save still gives you this swing as a preset file; " +
        "start turnstill live again, open the address that it tells, and open that file there.",
      true,
    );
  }
  if (answer.ok) return answer;
  const told = await answer.json().catch(() => ({ wrong: "The server's answer could not be read." }));
  throw new Unanswered(told.wrong, answer.status === 429);
}

/** Whatever is saved: what is to be told of it. */
export async function save(message) {
  const answer = await post("save", message);
  return (await answer.json()).saved;
}

/** A swing from what stands in a preset file. */
export async function opened(name, text) {
  return (await (await post("open", { name, text })).json()).swing;
}

/** What `turnstill strike` says of a swing: sentences. */
export async function struck(message) {
  return (await (await post("strike", message)).json()).sentences;
}

/** Follows what is wanted: asks for it, and while it waits for the answer remembers only the last that was wanted. */
export class Follower {
  /** onanswer: {now, kept}, each {message, report, progress, motion, figure}; onwrong: a sentence. */
  constructor({ onanswer, onwrong, onasked }) {
    Object.assign(this, { onanswer, onwrong, onasked });
    this.figures = new Map();
    this.kept = new WeakMap();
    this.wanted = null;
    this.asking = false;
  }

  /** kept: the swing beside it, or null; the two always end at the same moment. */
  want(message, kept = null) {
    this.wanted = { message, kept };
    if (!this.asking) this.following = this.#follow();
  }

  /** Until what was wanted last is answered. */
  async atRest() {
    while (this.asking) await this.following;
  }

  async #follow() {
    this.asking = true;
    this.onasked?.(true);
    try {
      while (this.wanted) await this.#ask();
    } finally {
      this.asking = false;
      this.onasked?.(false);
    }
  }

  async #ask() {
    const { message, kept } = this.wanted;
    this.wanted = null;
    try {
      const now = await this.answer(message);
      this.onanswer({ now, kept: kept && (await this.#beside(kept, message.through)) });
    } catch (wrong) {
      if (!(wrong instanceof Unanswered)) throw wrong;
      if (!this.wanted) this.onwrong(wrong);
      if (wrong.lost) await new Promise((done) => setTimeout(done, 300));
    }
  }

  /** A kept swing's answer that is known, or null. */
  known(kept, through) {
    return (kept && this.kept.get(kept)?.[through]) ?? null;
  }

  /** A kept swing was answered like that. */
  remember(kept, answer) {
    this.kept.set(kept, { ...this.kept.get(kept), [answer.message.through]: answer });
  }

  async #beside(kept, through) {
    if (!this.known(kept, through)) this.remember(kept, await this.answer({ ...kept, through }));
    return this.known(kept, through);
  }

  /** A swing worked out, with the figure that moves like it. */
  async answer(message) {
    const bytes = new Uint8Array(await (await post("swing", message)).arrayBuffer());
    const length = new DataView(bytes.buffer).getUint32(0, true);
    const report = JSON.parse(new TextDecoder().decode(bytes.subarray(4, 4 + length)));
    const motion = new Motion(bytes.slice(4 + length));
    motion.header.told = { marks: report.marks };
    const progress = report.moments.map((one) => one.progress);
    return { message, report, progress, motion, figure: await this.#figure(report.figure, message) };
  }

  /** Figures are asked for once; the last few stay, since a slider of the body goes to and fro. */
  async #figure(key, message) {
    let figure = this.figures.get(key);
    if (!figure) {
      const { name, values, timing } = message;
      const packed = new Uint8Array(await (await post("figure", { name, values, timing })).arrayBuffer());
      figure = new Figure(await unzippedBytes(packed));
    }
    this.figures.delete(key);
    this.figures.set(key, figure);
    if (this.figures.size > KEPT_FIGURES) this.figures.delete(this.figures.keys().next().value);
    return figure;
  }
}

