// The menu "Save": print, pictures, a link, and this file with what it shows now.
import { toAddress } from "./address.js";
import { download, fileName, savePng, saveSvg } from "./save.js";
import { button, h } from "./widgets.js";

/** @param {import("./app.js").App} app */
export function fillShare(app) {
  const { picture } = app;
  document.getElementById("files")?.replaceChildren(
    button("Print", () => print()),
    button("Save SVG", () => saveSvg(picture, app.heading)),
    button("Save PNG", () => savePng(picture, app.heading).catch(() => app.say("This browser cannot make a PNG."))),
    button("Copy link", () => copy(app, location.href, "The link is copied. It opens this page as it is now.")),
    button("Save this file with these settings", () => {
      download(new Blob([withSettings(app)], { type: "text/html" }), `${fileName(app.title)}.html`);
      app.say("The file is saved. It opens as this page is now.");
    }),
  );
}

/** Put a text on the clipboard, or say that the browser does not allow it. */
export async function copy(app, text, done) {
  try {
    await navigator.clipboard.writeText(text);
    app.say(done);
  } catch {
    app.say("This browser does not allow to copy. Select what stands in the field and copy it.");
    showText(text);
  }
}

/** A text to select where nothing may be put on the clipboard. */
function showText(text) {
  const field = h("textarea", { readOnly: true, rows: 4, "aria-label": "To copy", value: text });
  document.querySelector("#content .to-copy")?.remove();
  document.getElementById("content")?.prepend(h("div", { className: "to-copy" }, field));
  field.focus();
  field.select();
}

/** The file as it came, but for what it shows first. */
export function withSettings({ pristine, shown, start }) {
  const { detail, names, side, look } = shown;
  const address = toAddress(shown, { ...start, detail, names, side, look });
  const first = JSON.stringify({ detail, names, side, look, address }).replaceAll("<", "\\u003c");
  return pristine().replace(/"first":\{[^}]*\}/, () => `"first":${first}`);
}
