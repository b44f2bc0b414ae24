/** Big keys beside a PIN field, for gloves; a keyboard types into the field itself. */

/**
 * @param {HTMLElement} keys holds buttons with `data-key`: a digit, "erase" or "clear"
 * @param {HTMLInputElement} field
 * @param {() => void} changed
 */
export function mountKeys(keys, field, changed) {
  keys.addEventListener("click", (event) => {
    const key = /** @type {HTMLElement} */ (event.target).closest?.("[data-key]")?.getAttribute("data-key");
    if (!key) return;
    if (key === "erase") field.value = field.value.slice(0, -1);
    else if (key === "clear") field.value = "";
    else if (field.value.length < 8) field.value += key;
    changed();
  });
  field.addEventListener("input", changed);
}
