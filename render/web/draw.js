// One WebGL2 window off screen that draws posed figures through calibrated cameras, as the stage draws its pictures.
import { BLUR, FIGURE, GROUND, MASK, PLACE } from "./shaders.js";
import { normalised } from "./figure.js";

const SHADOW_SIZE = { still: 256, moving: 128 }, SHADOW_FINER = 2; // Pixels each way, and how many more it is drawn with.
const CELL_M = { still: 0, medium: 0.012, small: 0.02, tiny: 0.03, least: 0.04, shadow: 0.04 }; // One vertex a cell: see figure.js.
const FINE_FROM = 200, MEDIUM_FROM = 150, SMALL_FROM = 100, TINY_FROM = 70; // Pixels for each metre: cells of about three pixels.
const SHADOW_MARGIN_M = 0.12, SHADOW_SNAP_M = 0.1;
const SMOOTHING = 4; // Samples a pixel of a picture that stands still.
const BALL_RINGS = 10; // Seen as large as the whole panel, its edge is at most a hundredth of its radius off a circle.

/** Whether this browser can draw the figure at all. */
export function canDraw() {
  if (typeof DecompressionStream === "undefined") return false;
  return document.createElement("canvas").getContext("webgl2") !== null;
}

/**
 * Draws golfers. Everything on the graphics processor is made anew from what is kept here if the browser takes it away.
 */
export class Window {
  /** settings: the stage's light, matter, fades and outline, from render/web/settings.py. */
  constructor(settings) {
    this.settings = settings;
    this.canvas = document.createElement("canvas");
    this.lost = false;
    this.canvas.addEventListener("webglcontextlost", (event) => {
      event.preventDefault();
      this.lost = true;
    });
    this.canvas.addEventListener("webglcontextrestored", () => {
      this.lost = false;
      this.#open();
      this.onrestored?.();
    });
    this.#open();
  }

  #open() {
    const gl = this.canvas.getContext("webgl2", { alpha: true, antialias: false, premultipliedAlpha: false });
    if (!gl) throw new Error("this browser has no WebGL2");
    this.gl = gl;
    this.opened = (this.opened ?? 0) + 1;
    this.programs = Object.fromEntries(
      Object.entries({ FIGURE, MASK, BLUR, PLACE, GROUND }).map(([name, source]) => [name, program(gl, source)]),
    );
    this.buffers = new Map();
    this.targets = new Map();
    this.empty = gl.createVertexArray();
    this.ball = this.#ballBuffers();
  }

  /** A golfer to draw: figure, where its vertices are now and at address, and its ball. */
  #golfer(golfer, still) {
    const gl = this.gl, figure = golfer.figure;
    let kept = this.buffers.get(golfer);
    if (!kept || kept.figure !== figure) {
      this.forget(golfer);
      kept = {
        figure, place: gl.createBuffer(), normal: gl.createBuffer(), colour: gl.createBuffer(),
        addressPlace: gl.createBuffer(), triangles: new Map(), now: -1, address: null,
      };
      fill(gl, gl.ARRAY_BUFFER, kept.colour, figure.colours, gl.STATIC_DRAW);
      kept.shadows = {};
      for (const [name, size] of Object.entries(SHADOW_SIZE)) kept.shadows[name] = this.#target(size, size);
      this.buffers.set(golfer, kept);
    }
    if (kept.now !== golfer.drawn) {
      fill(gl, gl.ARRAY_BUFFER, kept.place, golfer.positions, gl.DYNAMIC_DRAW);
      fill(gl, gl.ARRAY_BUFFER, kept.normal, golfer.normals, gl.DYNAMIC_DRAW);
      kept.now = golfer.drawn;
      kept.cast = null;
    }
    const quality = still || kept.cast === "still" ? "still" : "moving";
    if (kept.cast !== quality) {
      this.#castShadow(golfer, kept, kept.shadows[quality], quality === "still" ? CELL_M.medium : CELL_M.shadow);
      kept.shadow = kept.shadows[quality];
      kept.cast = quality;
    }
    if (kept.address !== golfer.addressPositions) {
      fill(gl, gl.ARRAY_BUFFER, kept.addressPlace, golfer.addressPositions, gl.STATIC_DRAW);
      kept.address = golfer.addressPositions;
    }
    return kept;
  }

  /** Triangles as a program takes them: "lit", "flat" or "standing", with so many metres to a vertex. */
  #triangles(kept, how, cell) {
    const gl = this.gl, { figure, triangles, place, normal, colour, addressPlace } = kept, key = `${how} ${cell}`;
    if (!triangles.has(key)) {
      const array = vertexArray(gl, how === "lit" ? this.programs.FIGURE : this.programs.MASK,
        { lit: { place, normal, colour }, flat: { place }, standing: { place: addressPlace } }[how]);
      const all = figure.trianglesOf(cell), faces = how === "standing" ? figure.outlined(all) : all, corners = gl.createBuffer();
      gl.bindVertexArray(array);
      fill(gl, gl.ELEMENT_ARRAY_BUFFER, corners, faces, gl.STATIC_DRAW);
      gl.bindVertexArray(null);
      triangles.set(key, { array, corners, count: faces.length });
    }
    return triangles.get(key);
  }

  /** Lets go of what is kept of a golfer that is drawn no more. */
  forget(golfer) {
    const gl = this.gl, kept = this.buffers.get(golfer);
    if (!kept) return;
    for (const name of ["place", "normal", "colour", "addressPlace"]) gl.deleteBuffer(kept[name]);
    for (const { array, corners } of kept.triangles.values()) {
      gl.deleteVertexArray(array);
      gl.deleteBuffer(corners);
    }
    for (const shadow of Object.values(kept.shadows)) this.#drop(shadow);
    this.buffers.delete(golfer);
  }

  /** The figure's soft shadow, in a picture of the ground. */
  #castShadow(golfer, kept, target, cell) {
    const gl = this.gl, [sx, sy, sz] = golfer.sun;
    const slope = [-sx / sz, -sy / sz], p = golfer.positions;
    let left = Infinity, right = -Infinity, low = Infinity, high = -Infinity;
    for (let k = 0; k < p.length; k += 3) {
      const x = p[k] + slope[0] * p[k + 2], y = p[k + 1] + slope[1] * p[k + 2];
      if (x < left) left = x;
      if (x > right) right = x;
      if (y < low) low = y;
      if (y > high) high = y;
    }
    const down = (value) => Math.floor((value - SHADOW_MARGIN_M) / SHADOW_SNAP_M) * SHADOW_SNAP_M;
    const up = (value) => Math.ceil((value + SHADOW_MARGIN_M) / SHADOW_SNAP_M) * SHADOW_SNAP_M;
    left = down(left); low = down(low);
    const width = up(right) - left, height = up(high) - low;
    kept.shadowBox = [left, low, 1 / width, 1 / height];
    // Lays every point down along the sun's rays, and the ground's box over the picture; column after column.
    const a = 2 / width, b = 2 / height;
    const flat = new Float32Array([
      a, 0, 0, 0, 0, b, 0, 0, a * slope[0], b * slope[1], 0, 0, -1 - a * left, -1 - b * low, 0, 1,
    ]);
    const size = target.width, fine = this.#target(SHADOW_FINER * size, SHADOW_FINER * size, "fine");
    this.#mask(fine, flat, this.#triangles(kept, "flat", cell));
    const sd = this.settings.shadowSoftness * size, between = this.#target(size, size, "between");
    this.#blur(fine, between, [1 / size, 0], sd / width);
    this.#blur(between, target, [0, 1 / size], sd / height);
  }

  #mask(target, clip, { array, count }) {
    const gl = this.gl, { use, at } = this.programs.MASK;
    gl.bindFramebuffer(gl.FRAMEBUFFER, target.frame);
    gl.viewport(0, 0, target.width, target.height);
    gl.clearColor(0, 0, 0, 0);
    gl.clear(gl.COLOR_BUFFER_BIT);
    gl.disable(gl.DEPTH_TEST);
    gl.disable(gl.CULL_FACE);
    gl.useProgram(use);
    gl.uniformMatrix4fv(at.clip, false, clip);
    gl.bindVertexArray(array);
    gl.drawElements(gl.TRIANGLES, count, gl.UNSIGNED_INT, 0);
  }

  #blur(from, to, step, sd) {
    const gl = this.gl, { use, at } = this.programs.BLUR;
    gl.bindFramebuffer(gl.FRAMEBUFFER, to.frame);
    gl.viewport(0, 0, to.width, to.height);
    gl.disable(gl.DEPTH_TEST);
    gl.useProgram(use);
    gl.activeTexture(gl.TEXTURE0);
    gl.bindTexture(gl.TEXTURE_2D, from.texture);
    gl.uniform1i(at.mask, 0);
    gl.uniform2fv(at.step, step);
    gl.uniform1f(at.sd, Math.max(sd, 0.3));
    gl.bindVertexArray(this.empty);
    gl.drawArrays(gl.TRIANGLES, 0, 3);
  }

  /** A picture to draw into that can be read again; of a name there is one a size. */
  #target(width, height, name = null, kind = this.gl.R8) {
    const gl = this.gl, key = `${name} ${width} ${height}`;
    if (name && this.targets.has(key)) return this.targets.get(key);
    const texture = gl.createTexture(), frame = gl.createFramebuffer();
    gl.bindTexture(gl.TEXTURE_2D, texture);
    gl.texStorage2D(gl.TEXTURE_2D, 1, kind, width, height);
    for (const [kind, value] of [
      [gl.TEXTURE_MIN_FILTER, gl.LINEAR], [gl.TEXTURE_MAG_FILTER, gl.LINEAR],
      [gl.TEXTURE_WRAP_S, gl.CLAMP_TO_EDGE], [gl.TEXTURE_WRAP_T, gl.CLAMP_TO_EDGE],
    ]) gl.texParameteri(gl.TEXTURE_2D, kind, value);
    gl.bindFramebuffer(gl.FRAMEBUFFER, frame);
    gl.framebufferTexture2D(gl.FRAMEBUFFER, gl.COLOR_ATTACHMENT0, gl.TEXTURE_2D, texture, 0);
    const made = { texture, frame, width, height };
    if (name) this.#keep(key, made);
    return made;
  }

  /** Keeps a target; sizes that have gone by are let go, so that a page that is resized all day holds no more. */
  #keep(key, target) {
    this.targets.set(key, target);
    if (this.targets.size > 24) {
      const [oldest, dropped] = this.targets.entries().next().value;
      this.targets.delete(oldest);
      this.#drop(dropped);
    }
  }

  #drop({ texture, frame, colour, depth }) {
    const gl = this.gl;
    gl.deleteFramebuffer(frame);
    gl.deleteTexture(texture ?? null);
    gl.deleteRenderbuffer(colour ?? null);
    gl.deleteRenderbuffer(depth ?? null);
  }

  /** Where a picture of a size is drawn with several samples a pixel. */
  #smooth(width, height, samples) {
    const gl = this.gl, key = `smooth ${samples} ${width} ${height}`;
    if (!this.targets.has(key)) {
      const made = { frame: gl.createFramebuffer(), colour: gl.createRenderbuffer(), depth: gl.createRenderbuffer() };
      gl.bindFramebuffer(gl.FRAMEBUFFER, made.frame);
      for (const [buffer, kind, place] of [
        [made.colour, gl.RGBA8, gl.COLOR_ATTACHMENT0], [made.depth, gl.DEPTH_COMPONENT24, gl.DEPTH_ATTACHMENT],
      ]) {
        gl.bindRenderbuffer(gl.RENDERBUFFER, buffer);
        gl.renderbufferStorageMultisample(gl.RENDERBUFFER, samples, kind, width, height);
        gl.framebufferRenderbuffer(gl.FRAMEBUFFER, place, gl.RENDERBUFFER, buffer);
      }
      this.#keep(key, made);
    }
    return this.targets.get(key).frame;
  }

  /** The outline of the address from one camera: how much of each pixel the body covers, blurred. */
  #outline(panel, golfer, kept, camera, width, height, unit, cell) {
    const stamp = [this.opened, camera.K, camera.R, camera.t, width, height].map(String).join(";");
    const size = [Math.ceil(width / 2), Math.ceil(height / 2)];
    // One of more triangles than are wanted serves as well.
    if (panel.outlineStamp === stamp && panel.outlineOf === golfer.addressPositions && panel.outlineCell <= cell) return;
    if (panel.outline?.opened !== this.opened || panel.outline.width !== size[0] || panel.outline.height !== size[1]) {
      if (panel.outline?.opened === this.opened) this.#drop(panel.outline);
      panel.outline = { ...this.#target(...size), opened: this.opened };
    }
    const first = this.#target(...size, "outline"), second = this.#target(...size, "outline aside");
    this.#mask(first, camera.clip(), this.#triangles(kept, "standing", cell));
    const sd = 0.5 * this.settings.outline.blur * unit;
    this.#blur(first, second, [1 / size[0], 0], sd);
    this.#blur(second, panel.outline, [0, 1 / size[1]], sd);
    Object.assign(panel, { outlineStamp: stamp, outlineOf: golfer.addressPositions, outlineCell: cell });
  }

  /**
   * Draws a golfer through a camera; `show` puts it into the panel's own canvas once that is done, which takes its time.
   *
   * panel: {canvas, context (2d)}, which keeps its outline; golfer: see scene.js; still: smooth edges, for a picture
   * that is not moving; scale: pixels drawn for each of the canvas's own.
   */
  draw(panel, golfer, camera, { still = true, scale = 1 } = {}) {
    if (this.lost) return false;
    const gl = this.gl, set = this.settings;
    const width = Math.max(1, Math.round(panel.canvas.width * scale));
    const height = Math.max(1, Math.round(panel.canvas.height * scale));
    if (this.canvas.width !== width || this.canvas.height !== height) {
      this.canvas.width = width;
      this.canvas.height = height;
    }
    const kept = this.#golfer(golfer, still);
    const unit = Math.max(width / 720, set.outline.leastUnit);
    // Pixels for each metre at the golfer: where they are few, fewer triangles do as long as it moves.
    const fineness = (camera.K[0][0] * width) / camera.width / camera.project(golfer.marks.middle_m)[2];
    const cell = still || fineness > FINE_FROM ? CELL_M.still
      : fineness > MEDIUM_FROM ? CELL_M.medium : fineness > SMALL_FROM ? CELL_M.small
      : fineness > TINY_FROM ? CELL_M.tiny : CELL_M.least;
    if (golfer.ghost) this.#outline(panel, golfer, kept, camera, width, height, unit, still ? 0 : Math.max(cell, CELL_M.medium));
    const place = this.#place(panel, golfer, camera, width, height);
    const frame = still ? this.#smooth(width, height, Math.min(SMOOTHING, gl.getParameter(gl.MAX_SAMPLES))) : null;
    gl.bindFramebuffer(gl.FRAMEBUFFER, frame);
    gl.viewport(0, 0, width, height);
    this.#ground(panel, golfer, kept, camera, unit, place);
    this.#figure(golfer, this.#triangles(kept, "lit", cell), camera);
    if (frame) {
      gl.bindFramebuffer(gl.READ_FRAMEBUFFER, frame);
      gl.bindFramebuffer(gl.DRAW_FRAMEBUFFER, null);
      gl.blitFramebuffer(0, 0, width, height, 0, 0, width, height, gl.COLOR_BUFFER_BIT, gl.NEAREST);
    }
    gl.flush();
    return true;
  }

  /** Puts what was drawn last into the canvas of its panel, when it is ready. */
  show(panel) {
    if (this.lost) return;
    panel.context.drawImage(this.canvas, 0, 0, panel.canvas.width, panel.canvas.height);
    panel.canvas.style.visibility = "";
  }

  #release(places) {
    for (const place of places.values()) if (place.opened === this.opened) this.#drop(place);
    places.clear();
  }

  /** Lets go of what is kept of a panel that is shown no more. */
  leave(panel) {
    if (panel.places) this.#release(panel.places);
    if (panel.outline?.opened === this.opened) this.#drop(panel.outline);
    panel.outline = panel.outlineStamp = panel.outlineOf = null;
  }

  /** What stands still behind a golfer, drawn anew only for another camera, size or ball. */
  #place(panel, golfer, camera, width, height) {
    const gl = this.gl, { use, at } = this.programs.PLACE, look = golfer.figure.header.look, { ball } = golfer;
    const stamp = [this.opened, camera.K, camera.R, camera.t, ball, golfer.figure.leftHanded, Object.values(look)].map(String).join(";");
    panel.places ??= new Map();
    const key = `${width} ${height}`;
    let made = panel.places.get(key);
    if (made?.opened !== this.opened) {
      // Two sizes stay: the one while it moves and the one at rest.
      if (panel.places.size > 1) this.#release(panel.places);
      made = { ...this.#target(width, height, null, gl.RGBA8), opened: this.opened };
      panel.places.set(key, made);
    }
    if (made.stamp === stamp) return made;
    made.stamp = stamp;
    gl.bindFramebuffer(gl.FRAMEBUFFER, made.frame);
    gl.viewport(0, 0, width, height);
    gl.disable(gl.DEPTH_TEST);
    gl.disable(gl.CULL_FACE);
    gl.useProgram(use);
    this.#rays(at, camera);
    for (const [name, colour] of [
      ["ground", look.ground], ["groundFar", look.ground_far], ["lineColour", look.target_line],
      ["low", look.backdrop_low], ["high", look.backdrop_high],
    ]) gl.uniform3fv(at[name], colour.map((part) => part / 255));
    gl.uniform4fv(at.fades, this.settings.fades);
    gl.uniform4fv(at.line, this.settings.line);
    gl.uniform3fv(at.arrow, this.settings.arrow);
    gl.uniform3f(at.ball, ball[0], ball[1], golfer.figure.leftHanded ? -1 : 1);
    gl.bindVertexArray(this.empty);
    gl.drawArrays(gl.TRIANGLES, 0, 3);
    return made;
  }

  #rays(at, camera) {
    const gl = this.gl, corner = camera.ray(-0.5, camera.height - 0.5);
    const minus = (a, b) => a.map((part, k) => part - b[k]);
    gl.uniform3fv(at.corner, corner);
    gl.uniform3fv(at.across, minus(camera.ray(camera.width - 0.5, camera.height - 0.5), corner));
    gl.uniform3fv(at.along, minus(camera.ray(-0.5, -0.5), corner));
    gl.uniform3fv(at.eye, camera.position);
  }

  #ground(panel, golfer, kept, camera, unit, place) {
    const gl = this.gl, set = this.settings, { use, at } = this.programs.GROUND;
    gl.disable(gl.DEPTH_TEST);
    gl.disable(gl.CULL_FACE);
    gl.useProgram(use);
    this.#rays(at, camera);
    gl.uniform3fv(at.ink, set.outline.ink.map((part) => part / 255));
    gl.uniform3fv(at.address, set.outline.address.map((part) => part / 255));
    gl.uniform4fv(at.shadowBox, kept.shadowBox);
    gl.uniform1f(at.shadowDepth, set.shadowDepth);
    [["place", place.texture], ["shadow", kept.shadow.texture], ["outline", panel.outline?.texture ?? kept.shadow.texture]].forEach(
      ([name, texture], number) => {
        gl.activeTexture(gl.TEXTURE0 + number);
        gl.bindTexture(gl.TEXTURE_2D, texture);
        gl.uniform1i(at[name], number);
      },
    );
    gl.uniform1i(at.hasOutline, golfer.ghost ? 1 : 0);
    const { blur, dark, light, opacity } = set.outline;
    gl.uniform4f(at.edges, blur * unit, dark * unit, light * unit, opacity);
    gl.bindVertexArray(this.empty);
    gl.drawArrays(gl.TRIANGLES, 0, 3);
  }

  #figure(golfer, { array, count }, camera) {
    const gl = this.gl, set = this.settings, { use, at } = this.programs.FIGURE;
    gl.enable(gl.DEPTH_TEST);
    gl.enable(gl.CULL_FACE);
    gl.clear(gl.DEPTH_BUFFER_BIT);
    gl.useProgram(use);
    gl.uniformMatrix4fv(at.clip, false, camera.clip());
    gl.uniform3fv(at.eye, camera.position);
    // The one lamp that has no place of its own stands at the camera.
    const toward = set.lamps.map(({ toward: way }) =>
      way ? normalised(golfer.figure.leftHanded ? [way[0], -way[1], way[2]] : way) : camera.forward.map((part) => -part),
    );
    gl.uniform3fv(at.toward, toward.flat());
    gl.uniform1fv(at.strength, set.lamps.map(({ strength }) => strength));
    const { ambient, diffuse, specular, power } = set.matter;
    gl.uniform3f(at.matter, ambient, diffuse, specular);
    gl.uniform1i(at.power, power);
    gl.uniform3f(at.offset, 0, 0, 0);
    gl.bindVertexArray(array);
    gl.drawElements(gl.TRIANGLES, count, gl.UNSIGNED_INT, 0);
    gl.uniform3f(at.matter, set.ballMatter.ambient, set.ballMatter.diffuse, 0);
    gl.uniform3fv(at.offset, golfer.ball);
    gl.bindVertexArray(this.ball.array);
    gl.vertexAttrib3fv(at.colour, golfer.figure.header.look.ball.map((part) => part / 255));
    gl.drawElements(gl.TRIANGLES, this.ball.count, gl.UNSIGNED_INT, 0);
    gl.bindVertexArray(null);
  }

  #ballBuffers() {
    const gl = this.gl, radius = this.settings.ballRadius, places = [], faces = [];
    for (let ring = 0; ring <= BALL_RINGS; ring++) {
      const down = (Math.PI * ring) / BALL_RINGS;
      for (let side = 0; side <= 2 * BALL_RINGS; side++) {
        const round = (Math.PI * side) / BALL_RINGS;
        places.push(Math.sin(down) * Math.cos(round), Math.sin(down) * Math.sin(round), Math.cos(down));
      }
    }
    const row = 2 * BALL_RINGS + 1;
    for (let ring = 0; ring < BALL_RINGS; ring++) {
      for (let side = 0; side < 2 * BALL_RINGS; side++) {
        const a = ring * row + side;
        faces.push(a, a + row, a + 1, a + 1, a + row, a + row + 1);
      }
    }
    const normal = gl.createBuffer(), place = gl.createBuffer(), corners = gl.createBuffer();
    fill(gl, gl.ARRAY_BUFFER, normal, Float32Array.from(places), gl.STATIC_DRAW);
    fill(gl, gl.ARRAY_BUFFER, place, Float32Array.from(places, (part) => part * radius), gl.STATIC_DRAW);
    const array = vertexArray(gl, this.programs.FIGURE, { place, normal });
    gl.bindVertexArray(array);
    gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, corners);
    gl.bufferData(gl.ELEMENT_ARRAY_BUFFER, Uint32Array.from(faces), gl.STATIC_DRAW);
    gl.bindVertexArray(null);
    return { array, count: faces.length };
  }
}

function fill(gl, kind, buffer, data, use) {
  gl.bindBuffer(kind, buffer);
  gl.bufferData(kind, data, use);
}

/** Buffers as a program's inputs; colours are bytes. */
function vertexArray(gl, { at }, buffers) {
  const array = gl.createVertexArray();
  gl.bindVertexArray(array);
  for (const name of ["place", "normal", "colour"]) {
    if (!(name in buffers) || at[name] === undefined || at[name] < 0) continue;
    gl.bindBuffer(gl.ARRAY_BUFFER, buffers[name]);
    gl.enableVertexAttribArray(at[name]);
    gl.vertexAttribPointer(at[name], 3, name === "colour" ? gl.UNSIGNED_BYTE : gl.FLOAT, name === "colour", 0, 0);
  }
  gl.bindVertexArray(null);
  return array;
}

/** A program with where its inputs are. */
function program(gl, { vertex, fragment }) {
  const use = gl.createProgram();
  for (const [kind, source] of [[gl.VERTEX_SHADER, vertex], [gl.FRAGMENT_SHADER, fragment]]) {
    const shader = gl.createShader(kind);
    gl.shaderSource(shader, source);
    gl.compileShader(shader);
    gl.attachShader(use, shader);
  }
  gl.linkProgram(use);
  if (!gl.getProgramParameter(use, gl.LINK_STATUS) && !gl.isContextLost()) {
    const shaders = gl.getAttachedShaders(use).map((shader) => gl.getShaderInfoLog(shader));
    throw new Error(`the figure cannot be drawn here: ${gl.getProgramInfoLog(use)} ${shaders.join(" ")}`);
  }
  const at = {};
  for (let k = 0; k < gl.getProgramParameter(use, gl.ACTIVE_UNIFORMS); k++) {
    const name = gl.getActiveUniform(use, k).name;
    at[name.replace("[0]", "")] = gl.getUniformLocation(use, name);
  }
  for (let k = 0; k < gl.getProgramParameter(use, gl.ACTIVE_ATTRIBUTES); k++) {
    const name = gl.getActiveAttrib(use, k).name;
    if (!name.startsWith("gl_")) at[name] = gl.getAttribLocation(use, name);
  }
  return { use, at };
}
