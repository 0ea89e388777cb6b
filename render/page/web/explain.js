'use strict';
// Numbers that explain themselves: what carries data-why becomes a button that opens the derivation of its number. A page says where
// derivations come from by calling explain.by(lookup); lookup(cell) gives {pack, at, where}: derivations, the case among them, its words; and
// where the number that is shown is of a moved setting, {moved, command}: what is moved, and the call that derives it.
const explain = (() => {
  let lookup = null, panel = null, opener = null, mark = null;
  const make = (tag, cls, text) => {
    const e = document.createElement(tag);
    if (cls) e.className = cls;
    if (text !== undefined) e.textContent = text;
    return e;
  };

  // ---- the buttons

  // One number of a table is a stop of the tab key; the arrow keys go on from there.
  const groups = 'table,.figures,.facts';
  function dress(root) {
    if (!lookup || !root) return;
    for (const cell of root.querySelectorAll('[data-why]')) {
      if (cell.querySelector('.why')) continue;
      const b = make('button', 'why');
      b.type = 'button';
      b.append(...cell.childNodes);
      ready(b);
      cell.append(b);
    }
    for (const cell of root.querySelectorAll('[data-ask]')) {
      if (cell.querySelector('.why')) continue;
      const b = make('button', 'why ask', 'why');
      b.type = 'button';
      b.setAttribute('aria-label', 'why: ' + cell.textContent.trim());
      ready(b);
      cell.append(' ', b);
    }
    for (const group of root.querySelectorAll(groups)) {
      const all = group.querySelectorAll('.why');
      all.forEach((b, i) => { b.tabIndex = i ? -1 : 0; });
    }
  }
  function ready(b) {
    b.setAttribute('aria-haspopup', 'dialog');
    b.setAttribute('aria-expanded', 'false');
  }
  document.addEventListener('click', e => {
    const b = e.target.closest && e.target.closest('button.why');
    if (b) open(b);
  });
  const away = {ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1]};
  document.addEventListener('keydown', e => {
    const b = e.target.closest && e.target.closest('button.why');
    const step = b && away[e.key], group = b && b.closest(groups);
    if (!step || !group || e.altKey || e.ctrlKey || e.metaKey || e.shiftKey) return;
    e.preventDefault();
    e.stopPropagation(); // the page's own arrow keys go to other call states
    const all = [...group.querySelectorAll('.why')], at = b.getBoundingClientRect();
    const x = r => (r.left + r.right) / 2, y = r => (r.top + r.bottom) / 2;
    let best = null, least = Infinity;
    for (const other of all) {
      if (other === b) continue;
      const r = other.getBoundingClientRect();
      if (!r.width) continue;
      const along = step[0] ? (x(r) - x(at)) * step[0] : (y(r) - y(at)) * step[1];
      const across = Math.abs(step[0] ? y(r) - y(at) : x(r) - x(at));
      if (along < 4 || step[0] && across > 12) continue;
      const far = along + 3 * across;
      if (far < least) { least = far; best = other; }
    }
    if (!best) return;
    for (const other of all) other.tabIndex = other === best ? 0 : -1;
    best.focus();
  });

  // ---- the panel

  function build() {
    panel = make('dialog', 'whence');
    panel.setAttribute('aria-labelledby', 'whence-h');
    const inner = make('div', 'whence-in'), head = make('div', 'whence-head'), title = make('h2');
    title.id = 'whence-h';
    const close = make('button', '', 'close');
    close.type = 'button';
    close.addEventListener('click', () => panel.close());
    const all = make('button', '', 'down to the inputs');
    all.type = 'button';
    all.id = 'whence-all';
    head.append(title, all, close);
    const note = make('p', 'faint');
    note.id = 'whence-note';
    const ask = make('div', 'whence-ask'), call = make('code'), copy = make('button', '', 'copy');
    ask.id = 'whence-ask';
    copy.type = 'button';
    copy.addEventListener('click', async () => {
      getSelection().selectAllChildren(call); // for a browser that does not let a page copy
      try { await navigator.clipboard.writeText(call.textContent); copy.textContent = 'copied'; } catch { copy.textContent = 'selected: now copy it'; }
    });
    ask.append(call, copy);
    const tree = make('div', 'whence-tree');
    tree.tabIndex = 0;
    tree.setAttribute('role', 'region');
    tree.setAttribute('aria-label', 'derivation');
    inner.append(head, note, ask, tree);
    panel.append(inner);
    panel.addEventListener('click', e => { if (e.target === panel) panel.close(); }); // beside the panel
    panel.addEventListener('keydown', e => e.stopPropagation());
    panel.addEventListener('close', () => {
      if (!opener) return;
      const b = opener.isConnected ? opener : again();
      opener.setAttribute('aria-expanded', 'false');
      opener = null;
      if (b) { b.setAttribute('aria-expanded', 'false'); b.focus({preventScroll: true}); }
    });
    document.body.append(panel);
  }
  // The same number where the page has been drawn anew meanwhile.
  function again() {
    for (const cell of document.querySelectorAll('[data-why],[data-ask]')) {
      if ((cell.dataset.why || cell.dataset.ask) === mark && cell.offsetHeight) return cell.querySelector('.why');
    }
    return null;
  }
  async function open(b) {
    const cell = b.closest('[data-why],[data-ask]');
    mark = cell.dataset.why || cell.dataset.ask;
    const name = mark;
    if (!panel) build();
    const place = b.getBoundingClientRect();
    let found = null, trouble = '';
    try { found = await lookup(cell, name); } catch (e) { trouble = String(e.message || e); }
    if (panel.open || mark !== name) return;
    const of = found && Object.hasOwn(found.pack.names, name) ? found.pack.names[name] : null;
    const root = of ? pick(of[0], found.at) : -1;
    const title = panel.querySelector('h2'), note = panel.querySelector('#whence-note'), ask = panel.querySelector('#whence-ask');
    const tree = panel.querySelector('.whence-tree'), all = panel.querySelector('#whence-all');
    const moved = found && found.moved;
    ask.hidden = !moved;
    if (moved) {
      ask.querySelector('code').textContent = found.command;
      ask.querySelector('button').textContent = 'copy';
    }
    if (root < 0) {
      title.textContent = name;
      note.textContent = trouble || (moved ? 'In ' + found.where + ' with ' + found.moved + '. As the file says, this number is not there; the command derives it:'
        : 'There is no derivation of this number here.');
      tree.replaceChildren();
      all.hidden = true;
    } else {
      title.textContent = name + (moved ? ', as the file says: ' : ': ') + printedOf(found, found.pack.nodes[root], pick(of[1], found.at));
      note.textContent = moved ? 'This is ' + found.where + ' as the file says, not with ' + found.moved + '. The command derives the number with it:'
        : 'in ' + found.where + '; equations are in SI and hold to the last digit shown';
      const draw = whole => {
        const done = whole ? new Set() : null;
        const list = make('ul');
        list.append(item(found, null, root, 0, done));
        tree.replaceChildren(list);
        all.hidden = whole || !tree.querySelector('details');
      };
      all.onclick = () => { draw(true); tree.focus(); };
      draw(false);
    }
    opener = b;
    b.setAttribute('aria-expanded', 'true');
    panel.showModal();
    tree.scrollTop = 0;
    put(place);
  }
  // Beside its number where there is room; style sheets put it at the foot of a small screen.
  function put(place) {
    panel.style.left = panel.style.top = '';
    if (matchMedia('(max-width:640px)').matches) return;
    const w = panel.offsetWidth, h = panel.offsetHeight, gap = 8;
    const left = Math.min(Math.max(gap, place.left), innerWidth - w - gap);
    let top = place.bottom + gap;
    if (top + h > innerHeight - gap) top = place.top - h - gap;
    if (top < gap) top = Math.max(gap, innerHeight - h - gap);
    panel.style.left = left + 'px';
    panel.style.top = top + 'px';
  }

  // ---- the tree

  // A text that is the same in all cases stands for itself; one that varies is a column.
  const pick = (column, at) => column && column.c ? columnAt(column, at) : column;
  const valueOf = (found, node) => node[3].n === undefined ? pick(node[3], found.at) : columnAt(found.pack.numbers[node[3].n], found.at);
  // The six leading digits of a number as a whole one, and the power of ten of the last.
  function sixDigits(v) {
    if (!v) return [0, 0];
    const [digits, power] = v.toExponential(5).split('e');
    return [+digits.replace('.', ''), +power - 5];
  }
  // The same in the unit of the trade, as the program prints it: render/sheet/derivations_json.go says how.
  function tradeOf(found, node) {
    const put = pick(node[4], found.at), [, , factor, offset] = found.pack.units[node[2]];
    if (typeof put === 'string') return put;
    const [m, place] = sixDigits((+valueOf(found, node) - offset) / factor);
    return String(+((m + put) + 'e' + place));
  }
  function printedOf(found, node, text) {
    if (text) return text;
    const [, trade, , , decimals, label] = found.pack.units[node[2]];
    let [m, place] = sixDigits(+(trade === null ? valueOf(found, node) : tradeOf(found, node)));
    const minus = m < 0, drop = -decimals - place;
    m = Math.abs(m);
    m = drop > 8 ? 0 : drop > 0 ? Math.floor((m + 10 ** drop / 2) / 10 ** drop) : Math.round(m * 10 ** -drop);
    let whole = String(m).padStart(decimals + 1, '0'), rest = '';
    if (decimals) { rest = '.' + whole.slice(-decimals); whole = whole.slice(0, -decimals); }
    return (minus && m ? '-' : '') + whole.replace(/\B(?=(\d{3})+$)/g, ',') + rest + (label ? ' ' + label : '');
  }
  function line(found, symbol, node) {
    const l = make('span', 'whence-line'), [si, trade] = found.pack.units[node[2]];
    l.append(make('b', '', symbol || node[1]), ' = ', make('span', 'whence-value', valueOf(found, node) + (si ? ' ' + si : '')), ' ');
    if (trade !== null) l.append(make('span', 'whence-trade', '(' + tradeOf(found, node) + ' ' + trade + ')'), ' ');
    l.append(make('span', 'whence-name', node[0]));
    return l;
  }
  // One step: its value; then its equation, what it says, and what went in, or where it comes from. done holds the steps that were
  // written out already when the whole tree is; without it, steps below the first open on demand.
  function item(found, symbol, index, level, done) {
    const node = found.pack.nodes[index], li = make('li');
    const inputs = pick(node[9], found.at), equation = pick(node[5], found.at);
    if (done && done.has(index) && inputs.length) {
      li.append(line(found, symbol, node), ' ', make('span', 'whence-from', 'as above'));
      return li;
    }
    if (done) done.add(index);
    const body = () => {
      const parts = [], words = pick(node[6], found.at), from = pick(node[7], found.at);
      if (equation) parts.push(make('code', '', equation), ' ');
      if (words) parts.push(make('span', 'whence-words', words), ' ');
      if (from) parts.push(make('span', 'whence-from', from), ' ');
      for (const text of pick(node[8], found.at)) parts.push(make('span', 'whence-from whence-row', text), ' ');
      if (inputs.length) {
        const list = make('ul');
        for (const [s, k] of inputs) list.append(item(found, s, k, level + 1, done), ' ');
        parts.push(list);
      }
      return parts;
    };
    if (!inputs.length || !level || done) {
      li.append(line(found, symbol, node), ' ', ...body());
      return li;
    }
    const details = make('details'), summary = make('summary');
    summary.append(line(found, symbol, node));
    details.append(summary);
    details.addEventListener('toggle', () => { if (details.childElementCount < 2) details.append(...body()); }, {once: true});
    li.append(details);
    return li;
  }

  // The name of the number that has the focus, and the focus put back to it where the page has been drawn anew under it.
  const nameOf = cell => cell && (cell.dataset.why || cell.dataset.ask);
  function held() { return nameOf(document.activeElement.closest('[data-why],[data-ask]')); }
  function hold(name, root) {
    if (!name || document.activeElement !== document.body) return;
    const cell = [...root.querySelectorAll('[data-why],[data-ask]')].find(c => nameOf(c) === name && c.offsetHeight);
    if (cell) cell.querySelector('.why').focus({preventScroll: true});
  }

  return {by(f) { lookup = f; }, dress, held, hold};
})();
// What a column has for one of its cases: render/columns says how they are written.
function columnAt(column, at) {
  if (column.c) return column.v[column.c[at]];
  const fixed = column[0] < 0, decimals = fixed ? -1 - column[0] : column[0];
  let v = 0;
  for (let i = 1, n = 0; n <= at; i++) {
    const step = column[i];
    if (typeof step === 'number') { v += step; n++; } else n += step[0];
  }
  const text = String(Math.abs(v)).padStart(decimals + 1, '0'), cut = text.length - decimals;
  const out = decimals ? text.slice(0, cut) + '.' + text.slice(cut) : text;
  return (v < 0 ? '-' : '') + (fixed || !decimals ? out : out.replace(/\.?0+$/, ''));
}
// The text of a page of a pack: render/page/pack.go says how they are packed.
function pageOf(pack, key) {
  const at = pack.keys.indexOf(key), list = pack.lists[pack.pages[at]], values = new Map(), lines = [];
  const value = column => {
    if (!values.has(column)) values.set(column, columnAt(pack.columns[column], at));
    return values.get(column);
  };
  for (let i = 0; i < list.length; i += 2) {
    for (let k = list[i]; k < list[i] + list[i + 1]; k++) {
      const slot = pack.slots[k], pieces = slot[0].split('\n');
      let line = pieces[0];
      for (let h = 1; h < pieces.length; h++) line += value(slot[h]) + pieces[h];
      lines.push(line);
    }
  }
  return lines.join('\n');
}
// Unpacks what a page carries: base64url, gzip, JSON.
async function inflated(text) {
  const bytes = Uint8Array.from(atob(text.trim().replaceAll('-', '+').replaceAll('_', '/')), c => c.charCodeAt(0));
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream('gzip'));
  return JSON.parse(await new Response(stream).text());
}
