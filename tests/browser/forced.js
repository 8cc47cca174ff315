// What a reader misses on this page whose system chooses every colour: words, marks, edges and bands
// that are left with the colour of what they stand on. Also which kinds of marks were looked at.
const wrong = new Set(), kinds = new Set();
const style = element => getComputedStyle(element);
const canvas = style(document.body).backgroundColor;
const short = element => element.outerHTML.slice(0, 100);
const seen = element => element.checkVisibility({ visibilityProperty: true }) && !element.closest('.unseen');
const clear = colour => colour === 'none' || colour === 'transparent' || /^rgba\(.*, 0\)$/.test(colour);
const edge = (element, ground) => ['Top', 'Right', 'Bottom', 'Left'].some(side =>
  parseFloat(style(element)[`border${side}Width`]) > 0 && style(element)[`border${side}Color`] !== ground && !clear(style(element)[`border${side}Color`]));
const ground = element => {
  for (let at = element; at; at = at.parentElement) {
    if (!clear(style(at).backgroundColor)) return style(at).backgroundColor;
  }
  return canvas;
};

if (!matchMedia('(forced-colors: active)').matches) wrong.add('the colours are not forced');

const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
while (walk.nextNode()) {
  const element = walk.currentNode.parentElement;
  if (!walk.currentNode.data.trim() || element.closest('svg') || !seen(element)) continue;
  // Behind letters that it colours the browser lays the system's paper, whatever lies beneath.
  const on = style(element).forcedColorAdjust === 'none' ? [ground(element)] : [ground(element), canvas];
  if (on.includes(style(element).color)) wrong.add(`words not to be told from what is behind them: ${short(element)}`);
}

for (const mark of document.querySelectorAll('svg.draw :is(line, path, rect, circle, ellipse, text)')) {
  // A place to tap has no ink, and the water is a ground: its line is the mark.
  if (!seen(mark) || mark.matches('.hit, .under')) continue;
  const { fill, stroke, strokeWidth } = style(mark);
  if (mark.localName === 'text') {
    // The halo about a letter must not be of the letter's colour.
    if (fill === canvas || clear(fill) || stroke === fill) wrong.add(`letters lost in a picture: ${short(mark)}`);
  } else {
    const inks = [mark.localName === 'line' ? 'none' : fill, parseFloat(strokeWidth) > 0 ? stroke : 'none'];
    if (!inks.some(ink => !clear(ink) && ink !== canvas)) wrong.add(`a mark without ink: ${short(mark)}`);
  }
  mark.classList.forEach(kind => kinds.add(kind));
}

for (const line of document.querySelectorAll('.reed-line')) {
  const [sure, unsure] = ['a:not(.unsure) .stem', '.unsure .stem'].map(css => line.querySelector(css));
  if (sure && unsure && style(sure).strokeWidth === style(unsure).strokeWidth) wrong.add('stems that are sure and unsure look alike');
}

for (const band of document.querySelectorAll('.caution, .summary, .asks, .made-up, .notice, .problem')) {
  kinds.add('band');
  if (seen(band) && !edge(band, canvas)) wrong.add(`a band without an edge: ${short(band)}`);
}

const boxes = ':is(input:not([type="checkbox"], [type="radio"], [type="hidden"], [type="file"]), select, textarea, .do, .may)';
for (const box of document.querySelectorAll(boxes)) {
  const on = ground(box.parentElement);
  if (seen(box) && style(box).backgroundColor === on && !edge(box, on)) wrong.add(`a box without an edge: ${short(box)}`);
}

for (const here of document.querySelectorAll(':is(.masthead, .readings) [aria-current]')) {
  if (seen(here) && !edge(here, canvas)) wrong.add(`nothing marks where the reader is: ${short(here)}`);
}

return { wrong: [...wrong].slice(0, 5), kinds: [...kinds] };
