// Where focus goes when what had it is made anew, switched off or gone: to what has its name now, else to what is told.

/** A control goes on by its name; a link was followed. */
const CONTROLS = "button:not(.link), select, input";

/** @param {HTMLElement} panel whose content changes */
export function keepFocus(panel) {
  /** @type {HTMLElement | null} */
  let last = null, name = "";
  panel.addEventListener("focusin", (event) => {
    last = /** @type {HTMLElement} */ (event.target);
    name = nameOf(last);
  });
  new MutationObserver(() => {
    const { activeElement: now, body } = document;
    if (!last || (now !== last && now !== body) || stays(last)) return;
    const lost = last, controls = /** @type {HTMLElement[]} */ ([...panel.querySelectorAll(CONTROLS)]);
    last = null;
    const same = lost.matches(CONTROLS) ? controls.find((one) => one.tagName === lost.tagName && nameOf(one) === name && stays(one)) : null;
    const told = /** @type {HTMLElement | null} */ (panel.querySelector(".result h2"));
    if (same) return void same.focus({ preventScroll: true });
    told?.setAttribute("tabindex", "-1");
    (told || panel).focus({ preventScroll: true });
  }).observe(panel, { childList: true, subtree: true, attributeFilter: ["disabled", "hidden"] });
}

function stays(/** @type {HTMLElement} */ element) {
  return element.isConnected && !element.matches(":disabled") && !element.closest("[hidden]");
}

/** By which a listener knows it. @returns {string} */
function nameOf(/** @type {any} */ element) {
  return element.getAttribute("aria-label") || element.labels?.[0]?.textContent || element.textContent;
}
