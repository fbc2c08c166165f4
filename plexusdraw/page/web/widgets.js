// Small pieces of the page. Texts go in as text, never as markup.

/**
 * An element with properties and children; "on..." are listeners, names with a hyphen and role are attributes.
 * @param {string} tag @param {Record<string, any>} [props] @param {...any} children nodes and texts; what is empty is left out
 * @returns {any} the element, of its tag's type
 */
export function h(tag, props = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(props)) {
    if (value === null || value === undefined || (value === false && !name.startsWith("aria-"))) continue;
    if (name.startsWith("on")) made.addEventListener(name.slice(2), value);
    else if (name.includes("-") || name === "role" || name === "for") made.setAttribute(name, String(value));
    else made[name] = value;
  }
  made.append(...children.filter((child) => child !== null && child !== undefined && child !== false && child !== ""));
  return made;
}

/** @returns {HTMLButtonElement} */
export function button(text, onclick, props = {}) {
  return h("button", { type: "button", onclick, ...props }, text);
}

let ids = 0;

/** A labelled choice. @param {[string, string][]} options value and text */
export function choice(text, options, value, onchange) {
  const id = `choice-${(ids += 1)}`;
  const select = h("select", { id, onchange: () => onchange(select.value) });
  for (const [key, name] of options) select.append(h("option", { value: key, selected: key === value }, name));
  return h("div", { className: "field" }, h("label", { for: id }, text), select);
}

export function checkbox(text, checked, onchange) {
  const box = h("input", { type: "checkbox", checked, onchange: () => onchange(box.checked) });
  return h("label", { className: "check" }, box, text);
}

/** A table with a caption and a head; nothing if there are no rows. @param {(string | Node)[][]} rows */
export function table(caption, columns, rows) {
  if (!rows.length) return null;
  const head = h("tr", {}, ...columns.map((text) => h("th", { scope: "col" }, text)));
  const body = rows.map(([first, ...rest]) => h("tr", {}, h("th", { scope: "row" }, first), ...rest.map((cell) => h("td", {}, cell))));
  return h("div", { className: "wide" }, h("table", {}, h("caption", {}, caption), h("thead", {}, head), h("tbody", {}, ...body)));
}

/** A state in words, marked by shape as well as colour. */
export function stateWord(state, word = state) {
  return h("span", { className: "word", "data-word": state }, word);
}

export function list(items, className = "") {
  return items.length ? h("ul", { className }, ...items.map((item) => h("li", {}, item))) : null;
}

/** Set a text where it is another, so that the browser has nothing to do where it is not. @param {Node} node */
export function put(node, /** @type {string} */ text) {
  if (node.textContent !== text) node.textContent = text;
}

/** @returns {string} */
export function capital(/** @type {string} */ text) {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
