(() => {
  const views = [...document.querySelectorAll('.view')];
  const links = [...document.querySelectorAll('nav a')];
  const main = document.getElementById('main');
  document.body.classList.add('live');
  document.querySelector('.hint').hidden = false;

  // Where a number comes from: the derivations of a state are unpacked when the first of them is opened; the last few stay unpacked.
  const derivations = new Map();
  if (typeof DecompressionStream !== 'undefined') explain.by(async cell => {
    const at = cell.closest('[data-in]'), panel = at ? null : cell.closest('.panel');
    const id = at ? at.dataset.in : cell.closest('.view').id;
    if (!derivations.has(id)) {
      if (derivations.size > 3) derivations.delete(derivations.keys().next().value);
      derivations.set(id, inflated(document.querySelector('script[data-derivations="' + id + '"]').textContent));
    }
    const pack = await derivations.get(id);
    const moved = panel && panel.dataset.at || '';
    return {pack, at: pack.cases.indexOf(moved), where: document.getElementById(id).dataset.name + (moved ? ', ' + panel.dataset.where : '')};
  });

  // One view at a time; the address says which.
  function show() {
    const id = decodeURIComponent(location.hash.slice(1));
    const view = views.find(v => v.id === id) || views[0];
    for (const v of views) v.classList.toggle('shown', v === view);
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

  // Frames are unpacked when the first slider of a state is touched.
  const unpacked = new Map();
  function frames(id) {
    if (!unpacked.has(id)) unpacked.set(id, unpack(id));
    return unpacked.get(id);
  }
  function unpack(id) {
    return inflated(document.querySelector('script[data-frames="' + id + '"]').textContent);
  }

  for (const form of document.querySelectorAll('form.sliders')) {
    if (typeof DecompressionStream === 'undefined') continue; // an old browser: the report without its sliders
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
        const all = await frames(form.dataset.for);
        if (mine !== turn) return;
        putParts(panel, parseParts(all.frames[input.dataset.key + ' ' + input.value].map(i => all.lines[i]).join('')));
      }
      explain.dress(panel);
      panel.dataset.at = home ? '' : input.dataset.key + ' ' + input.value;
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
