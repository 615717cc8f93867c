// A page as the shell drew it, made part of the screen.

const SVG = 'http://www.w3.org/2000/svg';
const UNREADABLE = 'This page can’t be shown. Save it as a file, and look at that.';

/** Nothing on it runs or leads anywhere. */
const isBare = (element: Element) =>
  element.namespaceURI === SVG &&
  [...element.attributes].every(({ name }) => !/^on|href|style/i.test(name));

/** A shape or a text with nothing inside it. */
const isPlain = (element: Element) =>
  isBare(element) && ['path', 'text'].includes(element.localName) && element.children.length === 0;

/**
 * The picture of a page, or an error in words. It is read as XML, not as HTML, and refused if it
 * holds anything but shapes and text.
 */
export function sheetOf(svg: string): SVGElement {
  const root = new DOMParser().parseFromString(svg, 'image/svg+xml').documentElement;
  const isSheet = isBare(root) && root.localName === 'svg';
  if (!isSheet || ![...root.children].every(isPlain)) throw new Error(UNREADABLE);
  return document.importNode(root, true) as unknown as SVGElement;
}
