// What runs on the graphics processor: the lit figure, its flat mask, a blur, and the ground with shadow and outline.

const HEAD = "#version 300 es\nprecision highp float;\n";

export const FIGURE = {
  vertex: `${HEAD}
    in vec3 place, normal, colour;
    uniform mat4 clip;
    uniform vec3 offset;
    out vec3 world, outward, tint;
    void main() {
      world = place + offset;
      outward = normal;
      tint = colour;
      gl_Position = clip * vec4(world, 1.0);
    }`,
  // Phong's model in sRGB, as the stage's pictures are lit: each lamp far away, lightest where they add up.
  fragment: `${HEAD}
    in vec3 world, outward, tint;
    uniform vec3 eye, toward[4];
    uniform float strength[4];
    uniform vec3 matter;  // ambient, diffuse, specular
    uniform int power;    // of the gloss
    out vec4 shown;
    float raised(float x, int n) {
      float r = 1.0;
      for (; n > 0; n >>= 1) {
        if ((n & 1) == 1) r *= x;
        x *= x;
      }
      return r;
    }
    void main() {
      vec3 sight = normalize(eye - world), up = normalize(outward);
      if (dot(up, sight) < 0.0) up = -up;
      float lit = 0.0, shine = 0.0;
      for (int k = 0; k < 4; k++) {
        float facing = dot(up, toward[k]);
        if (facing > 0.0) {
          lit += strength[k] * facing;
          shine += strength[k] * raised(max(dot(reflect(-toward[k], up), sight), 0.0), power);
        }
      }
      shown = vec4(tint * (matter.x + matter.y * lit) + matter.z * shine, 1.0);
    }`,
};

export const MASK = {
  vertex: `${HEAD}
    in vec3 place;
    uniform mat4 clip;
    void main() { gl_Position = clip * vec4(place, 1.0); }`,
  fragment: `${HEAD}
    out vec4 shown;
    void main() { shown = vec4(1.0); }`,
};

const WHOLE = `${HEAD}
    out vec2 at;
    void main() {
      at = vec2(gl_VertexID == 1 ? 2.0 : 0.0, gl_VertexID == 2 ? 2.0 : 0.0);
      gl_Position = vec4(2.0 * at - 1.0, 0.0, 1.0);
    }`;

export const BLUR = {
  vertex: WHOLE,
  fragment: `${HEAD}
    in vec2 at;
    uniform sampler2D mask;
    uniform vec2 step;   // one pixel of the target along the blur, in parts of the texture
    uniform float sd;    // pixels
    out vec4 shown;
    void main() {
      int reach = int(ceil(2.5 * sd));
      float sum = 0.0, weights = 0.0;
      for (int k = -reach; k <= reach; k++) {
        float weight = exp(-0.5 * float(k * k) / (sd * sd));
        sum += weight * texture(mask, at + float(k) * step).r;
        weights += weight;
      }
      shown = vec4(sum / weights);
    }`,
};

const RAYS = `${HEAD}
    out vec2 at;
    out vec3 ray;
    uniform vec3 corner, across, along;  // rays of the lower left corner, and how they change over the picture
    void main() {
      at = vec2(gl_VertexID == 1 ? 2.0 : 0.0, gl_VertexID == 2 ? 2.0 : 0.0);
      ray = corner + at.x * across + at.y * along;
      gl_Position = vec4(2.0 * at - 1.0, 0.0, 1.0);
    }`;

/** Backdrop, ground and target line: what stands still as long as the camera does. */
export const PLACE = {
  vertex: RAYS,
  fragment: `${HEAD}
    in vec2 at;
    in vec3 ray;
    uniform vec3 eye, ground, groundFar, lineColour, low, high;
    uniform vec4 fades;       // where the ground fades from and to (m), and from and to how steep a sight sees ground
    uniform vec3 ball;        // x, y, and toward which y the target lies
    uniform vec4 line;        // of the target line (m): half its breadth, behind the ball, left free about it, ahead of it
    uniform vec3 arrow;       // of its head (m): half its breadth, its length; and how much line and head cover
    out vec4 shown;

    float eased(float x) { x = clamp(x, 0.0, 1.0); return x * x * (3.0 - 2.0 * x); }
    float within(float edge, float pixel) { return clamp(0.5 + edge / max(pixel, 1e-6), 0.0, 1.0); }

    // How much of a pixel the target line covers, metres from the ball across and along.
    float targetLine(vec2 q) {
      vec2 pixel = fwidth(q);
      float bar = within(line.x - abs(q.x), pixel.x) *
        (within(q.y + line.y, pixel.y) * within(-line.z - q.y, pixel.y) + within(q.y - line.z, pixel.y) * within(line.w - q.y, pixel.y));
      float half_ = arrow.x * (1.0 - (q.y - line.w) / arrow.y);
      float head = within(q.y - line.w, pixel.y) * within(half_ - abs(q.x), pixel.x);
      return clamp(max(bar, head), 0.0, 1.0);
    }

    void main() {
      vec3 scene = mix(high, low, 1.0 - at.y);
      float reach = ray.z < -1e-6 ? -eye.z / ray.z : 1e6;
      vec2 hit = eye.xy + reach * ray.xy;
      float far = ray.z < -1e-6 ? length(hit - vec2(0.5 * ball.x, ball.y)) : 1e6;
      float here = max(eased((fades.y - far) / (fades.y - fades.x)),
        eased((-ray.z / length(ray) - fades.z) / (fades.w - fades.z)));
      scene = mix(scene, mix(groundFar, ground, clamp(1.0 - far / fades.y, 0.0, 1.0)), here);
      float covered = targetLine(vec2(hit.x - ball.x, (hit.y - ball.y) * ball.z));
      shown = vec4(here > 0.0 ? mix(scene, lineColour, arrow.z * covered) : scene, 1.0);
    }`,
};

/** What lies on it: the figure's shadow, and the outline of the address over both. */
export const GROUND = {
  vertex: RAYS,
  fragment: `${HEAD}
    in vec2 at;
    in vec3 ray;
    uniform vec3 eye, ink, address;
    uniform vec4 shadowBox;   // lower corner (m) and one over its size
    uniform float shadowDepth;
    uniform sampler2D place, shadow, outline;
    uniform vec4 edges;       // of the outline: sd of its blur, widths of dark and of light line (pixels), opacity inside
    uniform bool hasOutline;
    out vec4 shown;

    // The normal distribution's inverse (Winitzki's approximation of the error function's, from memory).
    float deviations(float share) {
      float x = clamp(2.0 * share - 1.0, -0.998, 0.998), far = log(1.0 - x * x), near = 4.3307 + 0.5 * far;
      return 1.41421 * sign(x) * sqrt(max(sqrt(near * near - far / 0.147) - near, 0.0));
    }

    void main() {
      vec3 scene = texelFetch(place, ivec2(gl_FragCoord.xy), 0).rgb;
      if (ray.z < -1e-6) {
        vec2 cell = (eye.xy - eye.z / ray.z * ray.xy - shadowBox.xy) * shadowBox.zw;
        if (all(greaterThan(cell, vec2(0.0))) && all(lessThan(cell, vec2(1.0)))) {
          scene *= 1.0 - shadowDepth * textureLod(shadow, cell, 0.0).r;
        }
      }
      float covered = hasOutline ? textureLod(outline, at, 0.0).r : 0.0;
      if (covered > 0.001) {
        float inside = edges.x * deviations(covered), middle = 0.5 * edges.y;
        scene = mix(scene, vec3(1.0), edges.w * clamp(inside + 0.5, 0.0, 1.0));
        scene = mix(scene, ink, clamp(0.5 * edges.y + 0.5 - abs(inside - middle), 0.0, 1.0));
        scene = mix(scene, address, clamp(0.5 * edges.z + 0.5 - abs(inside - middle), 0.0, 1.0));
      }
      shown = vec4(scene, 1.0);
    }`,
};
