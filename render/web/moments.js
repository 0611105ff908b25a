// The moments of a swing in words, and which of them is shown while it plays. scenes/words/moments.py has the same words, in columns.

const UP_MS = 1500, REST_MS_AT_TOP = 900, BACK_MS = 900, REST_MS_AT_ADDRESS = 500;
// A swing that goes on: down in a third of the backswing's time, on past the ball, a rest there; then anew.
const DOWN_MS = 500, PAST_MS = 140, REST_MS_PAST = 900, SHORT_REST_MS = 250;
const AT_TOP = 1, AT_IMPACT = 2;

/** The moment that says most of a swing: impact where it goes there, else the top. */
export function chiefMoment(progress) {
  return progress.indexOf(progress.at(-1) > AT_TOP ? AT_IMPACT : AT_TOP);
}

/** What a moment is called; progress: of every moment, 0 at address, 1 at the top, 2 at impact. */
export function momentName(progress, moment) {
  const here = progress[moment];
  if (here === 0) return "address";
  if (here < AT_TOP) return `${Math.round(100 * here)} %`;
  if (here === AT_TOP) return "top";
  if (here === AT_IMPACT) return "impact";
  return here < AT_IMPACT ? `${Math.round(100 * (here - AT_TOP))} % down` : "past the ball";
}

/** Which moment is shown so long after playing began; it plays again and again. */
export function playedMoment(progress, ms) {
  const top = progress.indexOf(AT_TOP), ball = progress.indexOf(AT_IMPACT), last = progress.length - 1;
  const stops = ball > 0
    ? [[UP_MS, 0, top], [SHORT_REST_MS, top, top], [DOWN_MS, top, ball], [PAST_MS, ball, last], [REST_MS_PAST, last, last],
      [REST_MS_AT_ADDRESS, 0, 0]]
    : [[UP_MS, 0, top], [REST_MS_AT_TOP, top, top], [BACK_MS, top, 0], [REST_MS_AT_ADDRESS, 0, 0]];
  let now = ms % stops.reduce((sum, [long]) => sum + long, 0);
  for (const [long, from, to] of stops) {
    if (now < long) return Math.round(from + (now / long) * (to - from));
    now -= long;
  }
  return 0;
}
