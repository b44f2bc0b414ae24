/** Building elements from script, with text that is never read as markup. */

const SVG = "http://www.w3.org/2000/svg";

/**
 * @param {string} name
 * @param {Record<string, string>} [attributes]
 * @param {...(Node | string)} children
 * @returns {HTMLElement}
 */
export function el(name, attributes = {}, ...children) {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  element.append(...children);
  return element;
}

/**
 * @param {string} name
 * @param {Record<string, string | number>} [attributes]
 * @param {...Node} children
 * @returns {SVGElement}
 */
export function svg(name, attributes = {}, ...children) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, String(value));
  element.append(...children);
  return element;
}
