/** Filling a place anew without taking anything from under a finger: focus, scroll and what is being written stay. */

/**
 * Fill a place anew only when what it shows has changed; focus and what is being written go back to the elements of
 * the same `data-key`: a change that arrives from another tablet must not take a button away from under a finger.
 * @param {HTMLElement} place
 * @param {unknown} shows plain values
 * @param {() => (Node | string)[]} build
 */
export function fill(place, shows, build) {
  const key = JSON.stringify(shows);
  if (place.dataset.shows === key) return;
  place.dataset.shows = key;
  const active = document.activeElement;
  const focused = active instanceof HTMLElement && place.contains(active) ? active.dataset.key : undefined;
  const scrolled = place.scrollTop;
  const written = [...place.querySelectorAll("input")].filter((input) => input.value !== input.defaultValue).map(({ dataset, value }) => ({ key: dataset.key, value }));
  place.replaceChildren(...build());
  if (scrolled > 0) place.scrollTop = scrolled; // to set it has the page laid out once more
  for (const input of place.querySelectorAll("input")) input.value = written.find(({ key: of }) => of === input.dataset.key)?.value ?? input.value;
  if (focused) /** @type {HTMLElement | null} */ (place.querySelector(`[data-key="${CSS.escape(focused)}"]`))?.focus();
}

/**
 * Have exactly these elements in a place, in this order; those that are there already are not touched.
 * @param {Element} place
 * @param {Element[]} wanted
 */
export function keepIn(place, wanted) {
  const wants = new Set(wanted);
  for (const one of [...place.children]) if (!wants.has(one)) one.remove();
  let next = place.firstElementChild;
  for (const one of wanted) {
    if (one === next) next = next.nextElementSibling;
    else place.insertBefore(one, next);
  }
}

/** What each place held when it was last filled, before anyone touched it. @type {WeakMap<Element, Node[]>} */
const filled = new WeakMap();

/**
 * Put new content into a place, unless it is the same as before: then what is there stays, with its focus, its scroll
 * and what has been typed. After a change the focus goes back to the element with the same `data-key`.
 * @param {Element} place
 * @param {...Node} content
 * @returns {boolean} whether anything was put in
 */
export function swap(place, ...content) {
  const before = filled.get(place);
  if (before && before.length === content.length && before.every((node, i) => node.isEqualNode(content[i] ?? null))) return false;
  filled.set(place, content.map((node) => node.cloneNode(true)));
  const active = document.activeElement;
  const key = active && place.contains(active) ? active.getAttribute("data-key") : null;
  const open = new Set([...place.querySelectorAll("details[open][data-key]")].map((fold) => fold.getAttribute("data-key")));
  place.replaceChildren(...content);
  for (const fold of place.querySelectorAll("details[data-key]")) if (open.has(fold.getAttribute("data-key"))) fold.setAttribute("open", "");
  if (key) /** @type {HTMLElement | null} */ (place.querySelector(`[data-key="${CSS.escape(key)}"]`))?.focus();
  return true;
}
