// What people write into the box of a number: it alone, or with its unit, as files and the command line take it.

const NUMBER = String.raw`(\d+\.?\d*|\.\d+)`;
const ONE = new RegExp(`^([+-]?)${NUMBER} *([a-z"'°′″’”]*)$`, "i");
const TWO = new RegExp(`^([+-]?)(\\d+) *([a-z'′’]+) *${NUMBER} *([a-z"″”]*)$`, "i");
const IN_A_ROW = [["ft", "in"], ["st", "lb"]];
const LONGEST_ECHO = 20;
const KINDS = {
  deg: "an angle, such as 30, 30° or 30 deg", cm: "a length, such as 12, 12cm or 5in", kg: "a mass, such as 75, 75kg or 165lb",
};

/** The number that a text writes, in the unit of the box, or null; sizes: of every unit that is taken there, by its spelling. */
export function amountOf(text, sizes) {
  const plain = text.trim().toLowerCase().replaceAll(",", ".").replaceAll("\u2212", "-");
  const one = ONE.exec(plain), two = one ? null : TWO.exec(plain);
  let found = null;
  if (one && (one[3] === "" || one[3] in sizes)) found = Number(one[2]) * (one[3] === "" ? 1 : sizes[one[3]]);
  for (const [large, small] of two ? IN_A_ROW : []) {
    const part = Number(two[4]) * sizes[small];
    const fits = sizes[two[3]] === sizes[large] && (two[5] === "" || sizes[two[5]] === sizes[small]);
    if (large in sizes && fits && part < sizes[large]) found = Number(two[2]) * sizes[large] + part;
  }
  if (found === null || !Number.isFinite(found)) return null;
  return ((one ?? two)[1] === "-" ? -1 : 1) * Number(found.toPrecision(12));
}

/** Why a text is not taken; stays: what is set, as people read it. */
export function notTaken(text, unit, stays) {
  const kind = KINDS[unit];
  return text.trim() === "" ? `Nothing was written, so it stays ${stays}; write ${kind}.` : `${quoted(text)} is not ${kind}, so it stays ${stays}.`;
}

/** That a number was held to an end of its slider; farther: whether more may be asked elsewhere. */
export function heldTo(text, isMore, becomes, farther) {
  const [past, end] = isMore ? ["more", "most"] : ["less", "least"];
  const where = farther ? "; Everything there is to set goes farther" : "";
  return `${quoted(text)} is ${past} than this slider takes, so it is ${becomes}, the ${end}${where}.`;
}

function quoted(text) {
  const plain = text.trim();
  return `\u201c${plain.length > LONGEST_ECHO ? `${plain.slice(0, LONGEST_ECHO)}\u2026` : plain}\u201d`;
}
