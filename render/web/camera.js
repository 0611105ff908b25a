// The pictures' calibrated cameras (model/films/camera.py), and how a finger turns one round the golfer.
import { dot } from "./figure.js";

const LEAST_HEIGHT = -0.05, MOST_HEIGHT = Math.PI / 2; // How far a camera may go down and up, rad from the level.
const LEAST_ZOOM = 0.6, MOST_ZOOM = 5;
export const NEAR_M = 0.5, FAR_M = 40;

/** A pinhole: world X is at R X + t, and at K (R X + t) divided by its last part; pixel centres at integers. */
export class Camera {
  constructor({ K, R, t, width, height }) {
    Object.assign(this, { K, R, t, width, height });
  }

  /** [u, v, metres along the axis] of a world point. */
  project(point) {
    const [x, y, z] = this.R.map((row, k) => dot(row, point) + this.t[k]);
    return [(this.K[0][0] * x) / z + this.K[0][2], (this.K[1][1] * y) / z + this.K[1][2], z];
  }

  get position() {
    return [0, 1, 2].map((k) => -(this.R[0][k] * this.t[0] + this.R[1][k] * this.t[1] + this.R[2][k] * this.t[2]));
  }

  get forward() {
    return this.R[2];
  }

  /** World direction, one metre ahead, of what a place in the picture shows. */
  ray(u, v) {
    const x = (u - this.K[0][2]) / this.K[0][0], y = (v - this.K[1][2]) / this.K[1][1];
    return [0, 1, 2].map((k) => this.R[0][k] * x + this.R[1][k] * y + this.R[2][k]);
  }

  /** World to clip space, as WebGL takes it, column after column. */
  clip() {
    const { K, R, t, width, height } = this;
    const deep = (FAR_M + NEAR_M) / (FAR_M - NEAR_M), near = (-2 * FAR_M * NEAR_M) / (FAR_M - NEAR_M);
    const rows = [
      [(2 * K[0][0]) / width, 0, (2 * (K[0][2] + 0.5)) / width - 1, 0],
      [0, (-2 * K[1][1]) / height, 1 - (2 * (K[1][2] + 0.5)) / height, 0],
      [0, 0, deep, near],
      [0, 0, 1, 0],
    ];
    const world = [...R.map((row, k) => [...row, t[k]]), [0, 0, 0, 1]];
    const matrix = new Float32Array(16);
    for (let row = 0; row < 4; row++) {
      for (let column = 0; column < 4; column++) {
        let sum = 0;
        for (let k = 0; k < 4; k++) sum += rows[row][k] * world[k][column];
        matrix[4 * column + row] = sum;
      }
    }
    return matrix;
  }

  /** The camera turned about a place: yaw about the vertical, then pitch about its own horizontal, nearer by zoom. */
  orbited(pivot, { yaw, pitch, zoom }) {
    const s = Math.sin(yaw), c = Math.cos(yaw), sp = Math.sin(pitch), cp = Math.cos(pitch);
    const turned = this.R.map(([x, y, z]) => [x * c + y * s, y * c - x * s, z]);
    const R = [
      turned[0],
      turned[1].map((part, k) => cp * part - sp * turned[2][k]),
      turned[2].map((part, k) => sp * turned[1][k] + cp * part),
    ];
    const place = this.R.map((row, k) => dot(row, pivot) + this.t[k]);
    const t = R.map((row, k) => place[k] - dot(row, pivot));
    const middle = [(this.width - 1) / 2, (this.height - 1) / 2];
    const K = [0, 1, 2].map((row) => [...this.K[row]]);
    for (const k of [0, 1]) {
      K[k][k] *= zoom;
      K[k][2] = middle[k] + zoom * (K[k][2] - middle[k]);
    }
    return new Camera({ K, R, t, width: this.width, height: this.height });
  }

  /** How far the camera looks down, rad from the level. */
  get height_angle() {
    return Math.asin(Math.max(-1, Math.min(1, -this.R[2][2])));
  }
}

export const AT_HOME = Object.freeze({ yaw: 0, pitch: 0, zoom: 1 });

/** An orbit within what makes sense of a camera: not under the ground, not over the top. */
export function heldOrbit(camera, { yaw, pitch, zoom }) {
  const now = camera.height_angle;
  return {
    yaw: Math.atan2(Math.sin(yaw), Math.cos(yaw)),
    pitch: Math.max(LEAST_HEIGHT - now, Math.min(MOST_HEIGHT - now, pitch)),
    zoom: Math.max(LEAST_ZOOM, Math.min(MOST_ZOOM, zoom)),
  };
}
