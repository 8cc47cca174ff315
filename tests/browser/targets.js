// Measures what a thumb must hit on the page: each at least `side` px wide and high, and any two
// at least `gap` px apart (half a pixel is given for rounding). A tick or a button for one of
// several choices is hit by its whole line.
const [side, gap] = arguments;
const shown = element => element.checkVisibility({ visibilityProperty: true }) && !element.closest('.unseen, .skip');
const targets = [...document.querySelectorAll('main :is(input, select, textarea, button, a.do, a.may, summary)')]
  .filter(element => element.type !== 'hidden' && shown(element))
  .map(element => element.closest('label') ?? element)
  .filter((element, place, all) => all.indexOf(element) === place)
  .map(element => ({
    name: element.getAttribute('name') ?? element.textContent.trim().slice(0, 40),
    box: element.getBoundingClientRect(),
  }))
  .filter(({ box }) => box.width > 1 && box.height > 1);
const wrong = [];
targets.forEach((one, place) => {
  if (one.box.width < side - 0.5 || one.box.height < side - 0.5) {
    wrong.push(`${one.name} is ${one.box.width.toFixed(0)} by ${one.box.height.toFixed(0)}`);
  }
  for (const other of targets.slice(place + 1)) {
    const across = Math.max(one.box.left, other.box.left) - Math.min(one.box.right, other.box.right);
    const down = Math.max(one.box.top, other.box.top) - Math.min(one.box.bottom, other.box.bottom);
    if (Math.max(across, down) < gap - 0.5) {
      wrong.push(`${one.name} and ${other.name} are ${Math.max(across, down).toFixed(1)} apart`);
    }
  }
});
return { measured: targets.length, wrong };
