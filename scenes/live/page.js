// Asks for the first swing and shows its numbers at the top.
const start = JSON.parse(document.getElementById("start").textContent);
const told = document.getElementById("told");

async function ask(swing) {
  const { name, values, timing } = swing;
  const answer = await fetch("swing", {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify({ name, values, timing, drawn: false }),
  });
  if (!answer.ok) throw new Error((await answer.json()).wrong);
  const bytes = await answer.arrayBuffer();
  const length = new DataView(bytes).getUint32(0, true);
  return JSON.parse(new TextDecoder().decode(new Uint8Array(bytes, 4, length)));
}

function show(report) {
  told.textContent = report.sentences.join(" ");
  const rows = Object.entries(report.moments.at(-1)).filter(([, value]) => typeof value === "number");
  document.getElementById("numbers").replaceChildren(
    ...rows.map(([key, value]) => {
      const row = document.createElement("tr");
      const [head, cell] = [document.createElement("th"), document.createElement("td")];
      head.textContent = key.replaceAll("_", " ");
      cell.textContent = value.toFixed(1).replace("-", "\u2212");
      row.append(head, cell);
      return row;
    }),
  );
}

ask(start.swings[0]).then(show, (wrong) => {
  told.textContent = wrong.message || "The server does not answer.";
});
