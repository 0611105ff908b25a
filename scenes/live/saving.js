// The dialog that saves: by the server, or without it as a preset file that the page makes itself.
import { keepFile, presetText } from "./preset.js";
import { save } from "./server.js";

/**
 * by: finds elements of the page; sections: in the order of preset files; atRest(): until what is set is answered;
 * told(): {now, kept, through, called, refused}, the swings, the second of them null where there is none, where they end,
 * what a swing is called, and why what is set cannot be, or nothing.
 */
export function saveFrom(by, sections, atRest, told) {
  const said = by("saved"), dialog = by("saving");
  /** Whether what is set is what is seen: nobody keeps a swing that the page does not show. */
  async function isSeen() {
    await atRest();
    const { refused } = told();
    dialog.classList.toggle("refused", refused !== "");
    if (refused) said.textContent = `Nothing is saved: what the sliders ask for cannot be, and the golfers show the swing before it. ${refused}`;
    return refused === "";
  }
  by("save").addEventListener("click", () => {
    const { now } = told();
    said.textContent = "";
    by("save-replace").checked = false;
    by("save-name").value = now.name;
    by("save-text").value = presetText(now, sections);
    by("save-here").open = document.body.classList.contains("lost");
    dialog.showModal();
    isSeen();
  });
  by("save-close").addEventListener("click", () => dialog.close());
  by("save-copy").addEventListener("click", async () => {
    by("save-text").select();
    try {
      await navigator.clipboard.writeText(by("save-text").value);
      said.textContent = "Copied; put it into a file that ends in .toml.";
    } catch {
      said.textContent = "The browser does not let a page copy; the text is selected, so copy it with Ctrl-C.";
    }
  });
  by("save-file").addEventListener("click", () => {
    const name = `${by("save-name").value.trim().replaceAll(/[^\w .-]+/g, "-") || "swing"}.toml`;
    keepFile(name, by("save-text").value);
    said.textContent = `Your browser keeps ${name} where it keeps downloads.`;
  });
  by("save-form").addEventListener("submit", async (event) => {
    event.preventDefault();
    const kind = by("save-as").value, name = by("save-name").value.trim();
    if (!name) {
      said.textContent = "A name needs letters or digits; give it one first.";
      return;
    }
    const button = event.target.querySelector("button[type=submit]");
    button.disabled = true;
    try {
      if (await isSeen()) {
        const { now, kept, through, called } = told(), both = kind === "page" || kind === "film";
        const setups = (both && kept ? [kept, now] : [now]).map((swing) => ({ ...swing, name: called(swing) }));
        said.textContent = kind === "film" ? "Making it; this takes half a minute." : kind === "preset" ? "Saving." : "Making it.";
        said.textContent = await save({ as: kind, name, setups, through, replace: by("save-replace").checked });
      }
    } catch (wrong) {
      said.textContent = wrong.message;
      if (wrong.lost) by("save-here").open = true;
    }
    button.disabled = false;
  });
}
