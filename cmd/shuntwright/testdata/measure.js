// Measures every frame of the page and writes what it finds as JSON. Run by
// TestSheetInBrowser; the sheets themselves hold no script.
function luminance(color) {
  const [r, g, b] = color.match(/[\d.]+/g).map(Number).map(x => x / 255).map(x => x <= 0.04045 ? x / 12.92 : ((x + 0.055) / 1.055) ** 2.4);
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(a, b) { // WCAG 2, relative luminance
  const [dark, light] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (light + 0.05) / (dark + 0.05);
}

function background(view, element) {
  for (let e = element; e; e = e.parentElement) {
    const color = view.getComputedStyle(e).backgroundColor;
    if (!/^rgba\(.*, 0\)$|^transparent$/.test(color)) return color;
  }
  return 'rgb(255, 255, 255)';
}

function name(e) { return e.tagName + ' "' + e.textContent.trim().slice(0, 30) + '"'; }

function overlaps(elements) {
  const found = [], boxes = elements.map(e => [e, e.getBoundingClientRect()]).filter(([, b]) => b.width > 0 && b.height > 0);
  for (let i = 0; i < boxes.length; i++) {
    for (let k = i + 1; k < boxes.length; k++) {
      const [a, x] = boxes[i], [b, y] = boxes[k];
      if (a.contains(b) || b.contains(a)) continue;
      const wide = Math.min(x.right, y.right) - Math.max(x.left, y.left), high = Math.min(x.bottom, y.bottom) - Math.max(x.top, y.top);
      if (wide > 1 && high > 1) found.push(name(a) + ' and ' + name(b));
    }
  }
  return found;
}

// Letters are less high than their boxes: those may touch.
function lettersOf(svg) {
  return [...svg.querySelectorAll('text')].map(e => ({textContent: e.textContent, tagName: 'text', contains: () => false, getBoundingClientRect: () => {
    const b = e.getBoundingClientRect();
    return new DOMRect(b.x, b.y + b.height * 0.2, b.width, b.height * 0.6);
  }}));
}

function measure(frame) {
  const view = frame.contentWindow, page = frame.contentDocument;
  const blocks = [...page.querySelectorAll('h1, h2, p, dt, dd, th, td, figcaption, svg')];
  const svgs = [...page.querySelectorAll('svg')];
  const texts = [...page.querySelectorAll('h1, h2, p, dt, dd, th, td, figcaption, text')].filter(e => e.textContent.trim());
  const size = e => {
    const px = parseFloat(view.getComputedStyle(e).fontSize), svg = e.closest('svg');
    return svg ? px * svg.getBoundingClientRect().width / svg.viewBox.baseVal.width : px;
  };
  return {
    Name: frame.name, Width: view.innerWidth, ScrollWidth: page.documentElement.scrollWidth,
    Requests: view.performance.getEntriesByType('resource').length,
    Overlapping: overlaps(blocks).concat(...svgs.map(svg => overlaps(lettersOf(svg)))),
    Overflowing: blocks.filter(e => e.tagName !== 'svg' && e.scrollWidth > e.clientWidth + 1).map(name).concat(
      svgs.filter(svg => [...svg.querySelectorAll('text')].some(e => {
        const b = e.getBoundingClientRect(), s = svg.getBoundingClientRect();
        return b.left < s.left - 1 || b.right > s.right + 1;
      })).map(svg => 'text of ' + name(svg))),
    LowContrast: texts.filter(e => {
      const style = view.getComputedStyle(e);
      return contrast(e.closest('svg') ? style.fill : style.color, background(view, e.closest('svg') || e)) < 4.5;
    }).map(name),
    SmallestText: Math.min(...texts.map(size)),
  };
}

addEventListener('load', () => {
  const all = [...document.querySelectorAll('iframe')].map(measure);
  const out = document.createElement('pre');
  out.id = 'measured';
  out.textContent = JSON.stringify(all);
  document.body.append(out);
});
