'use strict';
// Puts the parts of a panel in the place of those that stand there. What the reader opened stays open.
function putParts(panel, parts) {
  const problem = parts.querySelector('[data-part="problem"]');
  const old = panel.querySelector('[data-part="problem"]');
  if (old) old.remove();
  if (problem) {
    panel.prepend(problem);
    panel.classList.add('stale');
    return;
  }
  panel.classList.remove('stale');
  for (const part of parts.querySelectorAll('[data-part]')) {
    const name = part.dataset.part;
    const now = panel.querySelector('[data-part="' + name + '"]');
    if (!now) { panel.append(part); continue; }
    const open = [...now.querySelectorAll('details')].map(d => d.open);
    now.replaceChildren(...part.childNodes);
    now.querySelectorAll('details').forEach((d, i) => { if (open[i]) d.open = true; });
  }
}
// Parses markup that comes from the program itself, every name in it escaped.
function parseParts(html) {
  const t = document.createElement('template');
  t.innerHTML = html;
  return t.content;
}
// Where a picture is wider than its place, it is first shown from the left edge of the zones: who calls, and where the surplus ends. Once it
// has been shown, it stays where the reader puts it.
function showZones(root) {
  for (const picture of root.querySelectorAll('.picture')) {
    const zone = picture.querySelector('.band');
    if (!zone || picture.dataset.shown || picture.scrollWidth <= picture.clientWidth || !picture.clientWidth) continue;
    picture.dataset.shown = '1';
    picture.scrollLeft += zone.getBoundingClientRect().left - picture.getBoundingClientRect().left - 10;
  }
}
addEventListener('resize', () => showZones(document));
