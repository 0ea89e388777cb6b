(() => {
  const views = [...document.querySelectorAll('.view')];
  const links = [...document.querySelectorAll('nav a')];
  const main = document.getElementById('main');
  document.body.classList.add('live');
  document.querySelector('.hint').hidden = false;

  const able = typeof DecompressionStream !== 'undefined'; // an old browser shows what is markup, without sliders and derivations

  // What is packed is unpacked once, when it is first needed.
  const opened = new Map();
  function unpacked(kind, id) {
    const script = [...document.querySelectorAll('script[data-' + kind + ']')].find(s => s.dataset[kind].split(' ').includes(id));
    if (!opened.has(script)) opened.set(script, inflated(script.textContent));
    return opened.get(script);
  }

  // Where a number comes from. With a damper moved, the derivation is of the state as the file has it, and the command line has the rest.
  if (able) explain.by(async (cell, name) => {
    const at = cell.closest('[data-in]'), panel = at ? null : cell.closest('.panel');
    const id = at ? at.dataset.in : cell.closest('.view').id;
    const pack = await unpacked('derivations', id.replace(/s\d+$/, ''));
    const found = {pack, at: pack.cases.indexOf(id), where: document.getElementById(id).dataset.name};
    if (panel && panel.dataset.set) {
      const form = panel.querySelector('form.sliders');
      found.moved = panel.dataset.where;
      found.command = form.dataset.job + ' ' + word(name) + form.dataset.options + ' --set ' + word(panel.dataset.set) + ' --state ' + word(found.where);
    }
    return found;
  });
  // A word as a shell takes it for one: render/page/report.go, quoteWord.
  function word(text) {
    if (/^[\w./:=+,@][\w./:=+,@-]*$/.test(text)) return text;
    return /["$`\\!]/.test(text) ? "'" + text.replaceAll("'", "'\\''") + "'" : '"' + text + '"';
  }

  // States that are packed are put in their places when they are shown, and all before the page is printed.
  const states = new Map();
  function fill(view) {
    const pack = states.get(view.dataset.packed);
    if (!pack) return;
    view.replaceChildren(parseParts(pageOf(pack, view.id)));
    delete view.dataset.packed;
    sliders(view);
  }
  if (able) for (const script of document.querySelectorAll('script[data-states]')) {
    unpacked('states', script.dataset.states).then(pack => { states.set(script.dataset.states, pack); show(); });
  }
  addEventListener('beforeprint', () => { for (const view of views) if (view.dataset.packed) fill(view); });

  // One view at a time; the address says which.
  function show() {
    const id = decodeURIComponent(location.hash.slice(1));
    const view = views.find(v => v.id === id) || views[0];
    for (const v of views) v.classList.toggle('shown', v === view);
    if (view.dataset.packed) fill(view);
    explain.dress(view);
    for (const a of links) {
      const on = a.hash === '#' + view.id;
      if (on) {
        a.setAttribute('aria-current', 'page');
        const nav = document.querySelector('nav');
        const r = a.getBoundingClientRect(), n = nav.getBoundingClientRect();
        if (r.left < n.left || r.right > n.right) nav.scrollLeft += r.left - n.left - 20;
        if (r.top < n.top || r.bottom > n.bottom) nav.scrollTop += r.top - n.top - 60;
      } else a.removeAttribute('aria-current');
    }
    showZones(view);
    return view;
  }
  addEventListener('hashchange', () => { show(); scrollTo(0, 0); main.focus({preventScroll: true}); });
  sliders(document);
  show();

  function step(by) {
    const at = views.indexOf(show());
    const next = views[Math.min(Math.max(at + by, 0), views.length - 1)];
    if (next !== views[at]) location.hash = next.id;
  }
  addEventListener('keydown', e => {
    if (e.altKey || e.ctrlKey || e.metaKey || e.shiftKey || e.target.closest('input,select,textarea,.picture,.scroll')) return;
    if (e.key === 'ArrowRight') step(1);
    else if (e.key === 'ArrowLeft') step(-1);
    else if (e.key === 'Home') location.hash = views[0].id;
    else return;
    e.preventDefault();
  });

  // The frames of a slider are unpacked when it is first touched.
  function sliders(root) {
    if (able) root.querySelectorAll('form.sliders').forEach(slide);
  }
  function slide(form) {
    form.hidden = false;
    const panel = form.closest('.panel');
    const asIs = document.createElement('div');
    for (const part of panel.querySelectorAll('[data-part]')) asIs.append(part.cloneNode(true));
    const inputs = [...form.querySelectorAll('input')];
    const back = form.querySelector('.back'), moved = form.querySelector('.moved');
    let turn = 0;
    async function move(input) {
      const mine = ++turn;
      const texts = input.dataset.values.split('|');
      for (const other of inputs) if (other !== input) put(other, +other.dataset.now);
      put(input, +input.value);
      const home = input.value === input.dataset.now;
      if (home) {
        putParts(panel, asIs.cloneNode(true));
      } else {
        const pack = await unpacked('frames', form.dataset.for);
        if (mine !== turn) return;
        putParts(panel, parseParts(pageOf(pack, form.dataset.for + ' ' + input.dataset.key + ' ' + input.value)));
      }
      explain.dress(panel);
      panel.dataset.set = home ? '' : input.dataset.path + '=' + texts[+input.value];
      panel.dataset.where = home ? '' : panel.querySelector('label[for="' + input.id + '"]').firstChild.textContent.trim() + ' at ' + texts[+input.value];
      back.disabled = home;
      panel.classList.toggle('tried', !home);
      moved.textContent = home ? '' : panel.querySelector('label[for="' + input.id + '"]').firstChild.textContent.trim() + ' at ' + texts[+input.value] + '; all else as the file says';
    }
    function put(input, value) {
      const text = input.dataset.values.split('|')[value];
      input.value = value;
      input.setAttribute('aria-valuetext', text);
      input.nextElementSibling.textContent = text;
    }
    for (const input of inputs) {
      input.value = input.dataset.now;
      input.addEventListener('input', () => move(input));
    }
    back.addEventListener('click', () => { put(inputs[0], +inputs[0].dataset.now); move(inputs[0]); });
    form.addEventListener('submit', e => e.preventDefault());
  }
})();
