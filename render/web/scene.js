// A golfer to be drawn: a figure, what it does, and at which moment it is.
export class Golfer {
  /** motion: with the swing's marks (scenes/views/web_marks.py); sun: toward it, a right-hander's. */
  constructor(figure, motion, sun) {
    this.ghost = true;
    this.moment = -1;
    this.drawn = 0;
    this.sun = figure.leftHanded ? [sun[0], -sun[1], sun[2]] : sun;
    this.take(figure, motion);
  }

  /** Another swing of the same or another figure; the moment has to be shown anew. */
  take(figure, motion) {
    const alike = this.figure === figure, stands = alike && this.motion.beginsLike(motion);
    const { marks } = motion.header.told;
    Object.assign(this, { figure, motion, marks, ball: marks.ball_m });
    if (!alike) {
      this.positions = new Float32Array(3 * figure.vertices);
      this.normals = new Float32Array(3 * figure.vertices);
    }
    if (!stands) {
      this.addressPositions = new Float32Array(3 * figure.vertices); // Another array tells who draws it that it is another.
      figure.pose(motion, 0, this.addressPositions);
    }
    this.moment = -1;
  }

  get last() {
    return this.motion.moments - 1;
  }

  /** Poses the figure at a moment. */
  show(moment) {
    if (moment === this.moment) return;
    this.figure.pose(this.motion, moment, this.positions);
    this.figure.normals(this.positions, this.normals);
    this.moment = moment;
    this.drawn += 1;
  }
}
