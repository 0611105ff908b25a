// A figure that poses itself: every vertex is a sum over the frames that carry it (payload.py).
import { unpack } from "./payload.js";

const THIN = new Set(["shaft", "grip", "clubhead"]);
const ENTRIES = 12; // Of a frame: three rows of a rotation, each with its shift.

/** What does not move of a golfer: triangles, colours, and which frames carry which share of each vertex. */
export class Figure {
  constructor(bytes) {
    const { header, arrays } = unpack(bytes);
    this.header = header;
    this.leftHanded = header.left_handed;
    this.vertices = arrays.carried.length;
    this.frames = header.moving + header.hinges.reduce((all, hinge) => all + hinge.share.length, 0);
    this.faces = facesOf(arrays.faces);
    this.starts = new Uint32Array(this.vertices + 1);
    for (let v = 0; v < this.vertices; v++) this.starts[v + 1] = this.starts[v] + arrays.carried[v];
    this.carriers = Uint16Array.from(arrays.frames);
    this.carried = this.#places(arrays);
    this.colours = new Uint8Array(3 * this.vertices);
    this.shown = new Uint8Array(this.vertices);
    let first = 0;
    for (const [, count, colour, inOutline] of header.parts) {
      for (let v = first; v < first + count; v++) {
        this.colours.set(colour, 3 * v);
        this.shown[v] = inOutline ? 1 : 0;
      }
      first += count;
    }
    this.coarse = new Map();
    this.matrices = new Float32Array(ENTRIES * this.frames);
  }

  /** Of some triangles, those of the body alone, without arms and club: what an outline of the address shows. */
  outlined(faces) {
    return faces.filter((_, corner) => this.shown[faces[corner - (corner % 3)]]);
  }

  /**
   * Corners of fewer triangles, for shadows and for small pictures that move: of each part, the first vertex of a cell
   * of so many metres stands for all of them; 0: all triangles. The club, being thin, keeps what it has.
   */
  trianglesOf(cell) {
    if (cell === 0) return this.faces;
    if (!this.coarse.has(cell)) this.coarse.set(cell, this.#coarse(cell));
    return this.coarse.get(cell);
  }

  #coarse(size) {
    const stands = new Uint32Array(this.vertices);
    let first = 0;
    for (const [name, count] of this.header.parts) {
      const cells = new Map(), fine = THIN.has(name);
      for (let v = first; v < first + count; v++) {
        const rest = [0, 0, 0];
        for (let c = this.starts[v]; c < this.starts[v + 1]; c++) {
          for (let axis = 0; axis < 3; axis++) rest[axis] += this.carried[4 * c + axis];
        }
        const cell = fine ? v : rest.map((place) => Math.floor(place / size)).join();
        if (!cells.has(cell)) cells.set(cell, v);
        stands[v] = cells.get(cell);
      }
      first += count;
    }
    const kept = [];
    for (let f = 0; f < this.faces.length; f += 3) {
      const [a, b, c] = [stands[this.faces[f]], stands[this.faces[f + 1]], stands[this.faces[f + 2]]];
      if (a !== b && b !== c && c !== a) kept.push(a, b, c);
    }
    return Uint32Array.from(kept);
  }

  /** (C, 4) metres and shares: what each frame carries of each vertex. */
  #places(arrays) {
    const { share_unit: share, place_unit_m: unit } = this.header;
    const count = arrays.frames.length;
    const carried = new Float32Array(4 * count);
    const rest = [0, 0, 0];
    for (let v = 0; v < this.vertices; v++) {
      for (let axis = 0; axis < 3; axis++) rest[axis] += arrays.rest[axis * this.vertices + v];
      for (let c = this.starts[v]; c < this.starts[v + 1]; c++) {
        const part = arrays.shares[c] * share;
        for (let axis = 0; axis < 3; axis++) {
          carried[4 * c + axis] = (part * rest[axis] + arrays.aside[axis * count + c]) * unit;
        }
        carried[4 * c + 3] = part;
      }
    }
    return carried;
  }

  /** Places every vertex, metres, world, as a motion's moment has it. */
  pose(motion, moment, positions) {
    motion.frames(this, moment, this.matrices);
    const { starts, carriers, carried, matrices } = this;
    for (let v = 0, c = 0; v < this.vertices; v++) {
      let x = 0, y = 0, z = 0;
      for (const end = starts[v + 1]; c < end; c++) {
        const m = ENTRIES * carriers[c], k = 4 * c;
        const px = carried[k], py = carried[k + 1], pz = carried[k + 2], share = carried[k + 3];
        x += matrices[m] * px + matrices[m + 1] * py + matrices[m + 2] * pz + matrices[m + 3] * share;
        y += matrices[m + 4] * px + matrices[m + 5] * py + matrices[m + 6] * pz + matrices[m + 7] * share;
        z += matrices[m + 8] * px + matrices[m + 9] * py + matrices[m + 10] * pz + matrices[m + 11] * share;
      }
      positions[3 * v] = x;
      positions[3 * v + 1] = y;
      positions[3 * v + 2] = z;
    }
  }

  /** Outward normals of posed vertices: the sum over the faces round each, of any length. */
  normals(positions, normals) {
    const faces = this.faces;
    normals.fill(0);
    for (let f = 0; f < faces.length; f += 3) {
      const a = 3 * faces[f], b = 3 * faces[f + 1], c = 3 * faces[f + 2];
      const ax = positions[a], ay = positions[a + 1], az = positions[a + 2];
      const bx = positions[b] - ax, by = positions[b + 1] - ay, bz = positions[b + 2] - az;
      const cx = positions[c] - ax, cy = positions[c + 1] - ay, cz = positions[c + 2] - az;
      const x = by * cz - bz * cy, y = bz * cx - bx * cz, z = bx * cy - by * cx;
      normals[a] += x; normals[a + 1] += y; normals[a + 2] += z;
      normals[b] += x; normals[b + 1] += y; normals[b + 2] += z;
      normals[c] += x; normals[c + 1] += y; normals[c + 2] += z;
    }
    for (let k = 0; k < normals.length; k += 3) {
      const length = Math.hypot(normals[k], normals[k + 1], normals[k + 2]) || 1;
      normals[k] /= length; normals[k + 1] /= length; normals[k + 2] /= length;
    }
  }
}

/** What moves: every frame of a figure at every moment of a swing. */
export class Motion {
  constructor(bytes) {
    const { header, arrays } = unpack(bytes);
    this.header = header;
    this.moments = header.moments;
    const size = arrays.first.length;
    this.size = size;
    this.told = new Int32Array(size * this.moments);
    this.told.set(arrays.first);
    const changes = this.moments - 2;
    for (let k = 0; k < size; k++) {
      let now = arrays.first[k], speed = 0;
      for (let m = 1; m < this.moments; m++) {
        speed += m === 1 ? arrays.speed[k] : arrays.change[k * changes + m - 2];
        now += speed;
        this.told[m * size + k] = now;
      }
    }
  }

  /** Whether another swing begins in the same posture. */
  beginsLike(other) {
    for (let k = 0; k < this.size; k++) if (this.told[k] !== other.told[k]) return false;
    return this.size === other.size;
  }

  /** Fills (F, 12) with all frames of a moment; those between hand and club are made from the hinge's direction. */
  frames(figure, moment, matrices) {
    const { turn_unit: turn, shift_unit_m: shift } = this.header;
    const start = moment * this.size, moving = ENTRIES * figure.header.moving;
    for (let k = 0; k < moving; k++) matrices[k] = this.told[start + k] * (k % 4 === 3 ? shift : turn);
    const club = ENTRIES * figure.header.club;
    let at = moving;
    figure.header.hinges.forEach((hinge, number) => {
      const from = start + moving + 3 * number;
      const now = normalised([0, 1, 2].map((axis) => this.told[from + axis]));
      const axis = cross(hinge.toward, now), sine = Math.hypot(...axis);
      const angle = Math.atan2(sine, dot(hinge.toward, now));
      const unit = axis.map((part) => part / Math.max(sine, 1e-12));
      for (const share of hinge.share) {
        const turned = rotation(unit, share * angle);
        for (let row = 0; row < 3; row++) {
          const c = club + 4 * row, to = at + 4 * row;
          for (let column = 0; column < 3; column++) {
            matrices[to + column] =
              matrices[c] * turned[column] + matrices[c + 1] * turned[3 + column] + matrices[c + 2] * turned[6 + column];
          }
          matrices[to + 3] = dot([matrices[c], matrices[c + 1], matrices[c + 2]], hinge.held) + matrices[c + 3];
        }
        at += ENTRIES;
      }
    });
  }
}

/** Corners of all triangles; they are told by how they differ. */
function facesOf(told) {
  const count = told.length / 3, faces = new Uint32Array(told.length);
  for (let f = 0, low = 0; f < count; f++) {
    low += told[f];
    faces[3 * f] = low;
    faces[3 * f + 1] = low + told[count + f];
    faces[3 * f + 2] = faces[3 * f + 1] + told[2 * count + f];
  }
  return faces;
}

/** (9) the rotation by an angle about a unit axis (Rodrigues). */
function rotation([x, y, z], angle) {
  const s = Math.sin(angle), c = Math.cos(angle), v = 1 - c;
  return [
    c + x * x * v, x * y * v - z * s, x * z * v + y * s,
    y * x * v + z * s, c + y * y * v, y * z * v - x * s,
    z * x * v - y * s, z * y * v + x * s, c + z * z * v,
  ];
}

export const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
export function normalised(a) {
  const length = Math.hypot(...a);
  return a.map((part) => part / length);
}
