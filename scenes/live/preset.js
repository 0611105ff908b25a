// A swing as a preset file, made here so that it can be taken along when nobody serves the page any more.

/** TOML of a swing: sections in the order of preset files, then the timing. */
export function presetText({ values, timing }, sections) {
  const told = [];
  for (const section of sections) {
    const own = Object.entries(values[section] ?? {});
    if (own.length) told.push(`[${section}]\n${own.map(tomlLine).join("")}`);
  }
  const pieces = Object.entries(timing ?? {});
  if (pieces.length) told.push(`[timing]\n${pieces.map(tomlLine).join("")}`);
  return told.join("\n");
}

/** Numbers, texts and lists are written in TOML as in JSON. */
const tomlLine = ([key, value]) => `${key} = ${JSON.stringify(value)}\n`;

/** Hands a text to the browser as a file to keep. */
export function keepFile(name, text) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text], { type: "application/toml" }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 1000);
}
