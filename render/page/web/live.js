(() => {
  const $ = id => document.getElementById(id);
  const panel = $('panel');
  // What the page asks for. Settings are kept in the order in which they were first moved.
  let ask = {alternative: '', state: '', set: {}, colour: 'velocity'};
  let undone = [], done = [];
  let last = null;      // the last answer
  let known = 0;        // revision of the file
  let asked = null;     // the question that the last answer answers
  let view = 'state';
  let busy = false, amount = 0, under = null, wanted = null, dragging = null;

  // ---- asking

  // How much is asked: what the eye follows while a hand moves, the state in full, every state.
  const MOVING = 0, STATE = 1, ALL = 2;
  const restAfter = 140; // ms without a move, after which the hand is taken to rest
  let resting = 0;

  function body(much) {
    return JSON.stringify({alternative: ask.alternative, state: ask.state, colour: ask.colour, all: much === ALL, moving: much === MOVING,
      set: Object.entries(ask.set).map(([path, value]) => ({path, value}))});
  }
  // One question is under way at a time; of those that come meanwhile only the last is asked, and as much as any of them wanted.
  async function solve(much) {
    clearTimeout(resting);
    if (busy) {
      wanted = wanted === null ? much : Math.max(wanted, much);
      if (much === MOVING && amount > MOVING && dragging) { wanted = much; under.abort(); } // the hand does not wait; its end asks for all again
      return;
    }
    busy = true;
    amount = much;
    under = new AbortController();
    document.body.dataset.settled = '0';
    const question = body(much);
    try {
      const r = await fetch('/solve', {method: 'POST', headers: {'Content-Type': 'application/json'}, body: question, signal: under.signal});
      if (!r.ok) throw new Error(await r.text());
      const a = await r.json();
      if (a.problem) refuse(a.problem); else { asked = JSON.parse(question); show(a, much); }
    } catch (e) {
      if (e.name !== 'AbortError') trouble('The program does not answer.', String(e.message || e));
    }
    busy = false;
    if (wanted !== null) { const next = wanted; wanted = null; solve(next); }
    else if (much === MOVING) resting = setTimeout(() => solve(STATE), restAfter);
    else document.body.dataset.settled = '1';
  }
  function refuse(text) {
    $('refused').textContent = text;
    panel.classList.add('refused');
    if (last) drawKnobs(last); // back to what the picture shows
    drawMoved();
  }

  // Where a number comes from, for the settings and the state that the page shows.
  explain.by(async (cell, name) => {
    const row = cell.closest('[data-in]');
    const question = JSON.stringify({alternative: asked.alternative, state: row ? row.dataset.in : last.state, set: asked.set, name});
    const r = await fetch('/explain', {method: 'POST', headers: {'Content-Type': 'application/json'}, body: question});
    if (!r.ok) throw new Error(await r.text());
    const a = await r.json();
    if (a.problem) throw new Error(a.problem);
    return {pack: a.derivation, at: 0, where: a.state};
  });

  // ---- showing

  function show(a, much) {
    const all = much === ALL;
    last = a;
    known = a.revision;
    ask.state = a.state;
    $('refused').textContent = a.note || '';
    panel.classList.remove('refused');
    $('pace').textContent = '· solved and drawn in ' + a.ms.toFixed(1) + ' ms';
    const held = explain.held();
    putParts(panel, parseParts(a.parts));
    explain.dress(panel);
    explain.hold(held, panel);
    panel.classList.toggle('following', !!a.moving);
    showZones(panel);
    drawAlternatives(a);
    drawStates(a, all);
    if (a.overview) {
      $('overview').replaceChildren(parseParts(a.overview));
      const rows = $('overview').querySelectorAll('tbody a');
      rows.forEach((link, i) => { link.href = '#' + encodeURIComponent(a.states[i].name); link.closest('tr').dataset.in = a.states[i].name; });
      explain.dress($('overview'));
    }
    drawKnobs(a);
    drawMoved();
    if (!a.moving) $('toml').textContent = a.toml;
    if (all) $('said').textContent = panel.querySelector('.sentence').textContent;
  }
  function drawAlternatives(a) {
    const pick = $('alternative');
    const names = ['', ...(a.alternatives || []).map(x => x.name)];
    if (pick.dataset.names !== names.join('\n')) {
      pick.replaceChildren(...names.map(n => new Option(n || 'as it stands', n)));
      pick.dataset.names = names.join('\n');
    }
    pick.value = ask.alternative;
    const note = (a.alternatives || []).find(x => x.name === ask.alternative);
    pick.title = note ? note.note : '';
  }
  function drawStates(a, all) {
    const list = $('states');
    const names = a.states.map(s => s.name).join('\n');
    if (list.dataset.names !== names) {
      list.dataset.names = names;
      list.replaceChildren();
      let group = null, ul = null;
      for (const s of a.states) {
        if (s.group !== group) {
          group = s.group;
          const li = document.createElement('li');
          li.className = 'group';
          const head = document.createElement('span');
          head.textContent = group;
          ul = document.createElement('ul');
          li.append(head, ul);
          list.append(li);
        }
        const li = document.createElement('li'), link = document.createElement('a');
        link.href = '#' + encodeURIComponent(s.name);
        const level = document.createElement('span');
        level.innerHTML = '<span class="dot" aria-hidden="true"></span><span class="hidden"></span>';
        link.append(level, document.createTextNode(s.calls));
        li.append(link);
        ul.append(li);
      }
    }
    const links = list.querySelectorAll('a');
    a.states.forEach((s, i) => {
      const level = links[i].firstChild;
      if (s.level) { level.className = s.level; level.lastChild.textContent = s.verdict + ': '; }
      else if (all) level.className = '';
      if (view === 'state' && s.name === a.state) links[i].setAttribute('aria-current', 'page');
      else links[i].removeAttribute('aria-current');
    });
    if (view === 'all') $('to-all').setAttribute('aria-current', 'page'); else $('to-all').removeAttribute('aria-current');
  }

  // ---- settings

  function move(path, value, from) {
    const was = ask.set[path];
    if (was === value) return;
    if (from !== 'dragging') remember();
    ask.set[path] = value;
    solve(from === 'dragging' ? MOVING : ALL);
  }
  function remember() {
    done.push(JSON.stringify({set: ask.set, alternative: ask.alternative}));
    undone = [];
  }
  function restore(text) {
    const was = JSON.parse(text);
    ask.set = was.set;
    ask.alternative = was.alternative;
    solve(ALL);
  }
  function undo() { if (done.length) { undone.push(JSON.stringify({set: ask.set, alternative: ask.alternative})); restore(done.pop()); } }
  function redo() { if (undone.length) { done.push(JSON.stringify({set: ask.set, alternative: ask.alternative})); restore(undone.pop()); } }

  function drawKnobs(a) {
    const box = $('knobs');
    const names = a.knobs.map(k => k.path).join('\n');
    if (box.dataset.names !== names) {
      box.dataset.names = names;
      box.replaceChildren();
      let group = null, div = null;
      a.knobs.forEach((k, i) => {
        if (k.group !== group) {
          group = k.group;
          const set = document.createElement('fieldset');
          const head = document.createElement('legend');
          head.textContent = group;
          div = document.createElement('div');
          div.className = 'group';
          set.append(head, div);
          box.append(set);
        }
        div.append(control(k, i));
      });
    }
    // A setting that does nothing in this call state is out of the way.
    a.knobs.forEach((k, i) => {
      const row = box.querySelectorAll('.slider')[i];
      row.classList.toggle('idle', !k.active);
      row.classList.toggle('changed', k.path in ask.set);
      const range = row.querySelector('input[type=range]'), text = row.querySelector('input[type=text]'), pick = row.querySelector('select');
      if (pick) { pick.value = k.text; return; }
      if (dragging !== range) {
        range.min = k.from; range.max = k.to; range.value = k.value;
      }
      range.setAttribute('aria-valuetext', k.text);
      if (document.activeElement !== text) text.value = k.text;
    });
  }
  function control(k, i) {
    const row = document.createElement('div');
    row.className = 'slider';
    const label = document.createElement('label');
    label.htmlFor = 'knob-' + i;
    label.textContent = k.name + ' ';
    const help = document.createElement('span');
    help.className = 'faint';
    help.textContent = k.help + ' ';
    label.append(help);
    row.append(label);
    if (k.choices) {
      const pick = document.createElement('select');
      pick.id = 'knob-' + i;
      pick.append(...k.choices.map(c => new Option(c, c)));
      pick.addEventListener('change', () => move(k.path, pick.value));
      row.append(pick);
      return row;
    }
    const range = document.createElement('input');
    range.type = 'range';
    range.id = 'knob-' + i;
    range.min = k.from; range.max = k.to; range.step = k.step;
    range.dataset.path = k.path;
    const text = document.createElement('input');
    text.type = 'text';
    text.setAttribute('aria-label', k.name + ', value');
    text.autocomplete = 'off';
    range.addEventListener('input', () => {
      if (dragging !== range) { dragging = range; remember(); }
      const value = withUnit(k, +range.value);
      text.value = value;
      move(k.path, value, 'dragging');
    });
    range.addEventListener('change', () => { dragging = null; solve(ALL); });
    text.addEventListener('change', () => { if (text.value.trim()) move(k.path, /[a-z%]/i.test(text.value) || !k.unit ? text.value.trim() : text.value.trim() + ' ' + k.unit); });
    text.addEventListener('keydown', e => { if (e.key === 'Enter') { e.preventDefault(); text.blur(); } });
    row.append(range, text);
    return row;
  }
  function withUnit(k, v) {
    const digits = k.step >= 1 ? 0 : k.step >= 0.1 ? 1 : 3;
    return String(+v.toFixed(digits)) + (k.unit ? ' ' + k.unit : '');
  }
  function drawMoved() {
    const list = $('moved');
    list.replaceChildren();
    for (const [path, value] of Object.entries(ask.set)) {
      const li = document.createElement('li');
      li.textContent = path + ' = ' + value + ' ';
      const x = document.createElement('button');
      x.type = 'button';
      x.textContent = '×';
      x.setAttribute('aria-label', 'take back ' + path);
      x.addEventListener('click', () => { remember(); delete ask.set[path]; solve(ALL); });
      li.append(x);
      list.append(li);
    }
    const some = Object.keys(ask.set).length > 0;
    $('undo').disabled = !done.length;
    $('redo').disabled = !undone.length;
    $('reset').disabled = !some;
    $('show').disabled = !some;
    panel.classList.toggle('tried', some);
    if (!some) { $('change').hidden = true; $('show').setAttribute('aria-expanded', 'false'); }
  }

  // ---- dragging a damper in the picture: to the right or up opens it

  panel.addEventListener('pointerdown', e => {
    const damper = e.target.closest && e.target.closest('[data-damper]');
    if (!damper || !last) return;
    const k = last.knobs.find(k => k.damper === damper.dataset.damper && k.active && !k.choices);
    if (!k) return;
    e.preventDefault();
    const picture = panel.querySelector('.picture');
    picture.setPointerCapture(e.pointerId);
    remember();
    const start = {x: e.clientX, y: e.clientY, value: k.value};
    dragging = document.querySelector('input[data-path="' + CSS.escape(k.path) + '"]');
    document.body.classList.add('turning');
    const turn = e => {
      const by = (e.clientX - start.x) - (e.clientY - start.y);
      const raw = start.value + by / 180 * (k.to - k.from);
      const v = Math.min(Math.max(Math.round(raw / k.step) * k.step, k.from), k.to);
      const value = withUnit(k, v);
      if (dragging) { dragging.value = v; dragging.nextElementSibling.value = value; }
      move(k.path, value, 'dragging');
    };
    const end = () => {
      picture.removeEventListener('pointermove', turn);
      picture.removeEventListener('pointerup', end);
      picture.removeEventListener('pointercancel', end);
      document.body.classList.remove('turning');
      dragging = null;
      solve(ALL);
    };
    picture.addEventListener('pointermove', turn);
    picture.addEventListener('pointerup', end);
    picture.addEventListener('pointercancel', end);
  });

  // ---- the rest of the desk

  $('desk').addEventListener('submit', e => e.preventDefault());
  $('put').addEventListener('click', () => {
    const path = $('path').value.trim(), value = $('value').value.trim();
    if (path && value) move(path, value);
  });
  for (const id of ['path', 'value']) $(id).addEventListener('keydown', e => { if (e.key === 'Enter') { e.preventDefault(); $('put').click(); } });
  $('undo').addEventListener('click', undo);
  $('redo').addEventListener('click', redo);
  $('reset').addEventListener('click', () => { remember(); ask.set = {}; solve(ALL); });
  $('show').addEventListener('click', () => {
    $('change').hidden = !$('change').hidden;
    $('show').setAttribute('aria-expanded', String(!$('change').hidden));
  });
  $('copy').addEventListener('click', async () => {
    try { await navigator.clipboard.writeText($('toml').textContent); $('copied').textContent = 'copied'; }
    catch { getSelection().selectAllChildren($('toml')); $('copied').textContent = 'selected: copy it with the keyboard'; }
  });
  $('colour').addEventListener('change', () => { ask.colour = $('colour').value; solve(ALL); });
  $('alternative').addEventListener('change', () => { remember(); ask.alternative = $('alternative').value; solve(ALL); });

  addEventListener('hashchange', go);
  function go() {
    const name = decodeURIComponent(location.hash.slice(1));
    view = name === 'all' ? 'all' : 'state';
    $('view-all').classList.toggle('shown', view === 'all');
    $('view-state').classList.toggle('shown', view === 'state');
    if (view === 'state' && name && name !== 'main') ask.state = name;
    solve(ALL);
  }
  addEventListener('keydown', e => {
    const typing = e.target.closest('input[type=text],select,textarea');
    if ((e.ctrlKey || e.metaKey) && !e.altKey && e.key.toLowerCase() === 'z' && !typing) {
      e.preventDefault();
      if (e.shiftKey) redo(); else undo();
      return;
    }
    if (e.altKey || e.ctrlKey || e.metaKey || e.shiftKey || e.target.closest('input,select,textarea,pre,.picture,.scroll') || !last) return;
    const by = e.key === 'ArrowRight' ? 1 : e.key === 'ArrowLeft' ? -1 : 0;
    if (!by) return;
    e.preventDefault();
    const names = ['all', ...last.states.map(s => s.name)];
    const at = names.indexOf(view === 'all' ? 'all' : ask.state);
    const next = names[Math.min(Math.max(at + by, 0), names.length - 1)];
    location.hash = encodeURIComponent(next);
  });

  // ---- the file on disk

  function trouble(head, text) {
    $('trouble').hidden = !head;
    $('trouble').querySelector('b').textContent = head;
    $('trouble').querySelector('pre').textContent = text;
  }
  const events = new EventSource('/events');
  events.addEventListener('message', e => {
    const f = JSON.parse(e.data);
    if (f.problem) trouble('The file on disk has a mistake; the page shows the last one that was in order.', f.problem);
    else trouble('', '');
    if (f.revision !== known && !f.problem) solve(ALL);
  });
  events.addEventListener('error', () => trouble('The program has ended, or does not answer. What is shown is the last answer.', ''));

  go();
})();
