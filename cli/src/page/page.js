// Turns the fields that have steps into sliders and asks the server for new figures while they move.
// Without this script every field is a plain text field and the forms work all the same.
'use strict';

(() => {
  const form = document.getElementById('design');
  if (!form) return;
  document.documentElement.classList.add('scripted');

  // An answer that takes longer than this is given up for a newer question; a quicker one is waited for, so that the
  // figures follow a moving finger.
  const PATIENCE_MS = 250;
  const TYPING_MS = 350;
  const SPEAKING_MS = 900;

  let asking = null; // { stop, since }
  let next = null; // question to ask when the present one is answered
  let typing = 0;
  let speaking = 0;

  /** The design as the query of an address: what differs from the file. */
  const query = () => {
    const q = new URLSearchParams();
    for (const field of form.elements) {
      const name = field.name || '';
      const changed = name.startsWith('s.') && field.value !== field.dataset.file;
      if (changed || name === 'file' || name === 'pinned' || name.startsWith('p.')) q.append(name, field.value);
    }
    return q.toString();
  };

  const ask = (question, moved, record) => {
    const now = performance.now();
    if (asking && now - asking.since < PATIENCE_MS) {
      next = [question, moved, record];
      return;
    }
    if (asking) asking.stop.abort();
    next = null;
    const mine = { stop: new AbortController(), since: now };
    asking = mine;
    document.body.setAttribute('aria-busy', 'true');
    fetch(`/live?${question}`, { signal: mine.stop.signal })
      .then(async (answer) => {
        const text = await answer.text();
        if (asking !== mine) return;
        if (!answer.ok) return fail('The program could not answer. Load the page again.');
        swap(text);
        record.call(history, null, '', `/plant?${question}`);
        requestAnimationFrame(() => setTimeout(() => performance.measure('redrawn', { start: moved, end: performance.now() })));
      })
      .catch((error) => {
        if (error.name !== 'AbortError' && asking === mine) {
          fail('The program behind this page has stopped. Start it again; what you changed stands in the address of this page.');
        }
      })
      .finally(() => {
        if (asking !== mine) return;
        asking = null;
        document.body.removeAttribute('aria-busy');
        if (next) ask(...next);
      });
  };

  const fail = (words) => {
    const place = document.getElementById('problems');
    const p = document.createElement('p');
    p.className = 'error';
    p.textContent = words;
    place.replaceChildren(p);
    document.querySelector('main').classList.add('stale');
  };

  const changed = (moved = performance.now()) => {
    clearTimeout(typing);
    ask(query(), moved, history.replaceState);
  };

  /** Puts the parts of an answer in the place of the old ones; what was unfolded stays so, and the focus stays. */
  const swap = (text) => {
    const parts = [...new DOMParser().parseFromString(text, 'text/html').body.children];
    for (const said of document.querySelectorAll('.msg')) if (said.childElementCount) said.replaceChildren();
    for (const field of form.querySelectorAll('[aria-invalid=true]')) field.setAttribute('aria-invalid', 'false');
    for (const part of parts) {
      const old = document.getElementById(part.id);
      if (!old) continue;
      if (part.id === 'status') {
        speak(old, part.textContent);
        continue;
      }
      const fresh = [...part.querySelectorAll('details')];
      [...old.querySelectorAll('details')].forEach((d, i) => { if (fresh[i]) fresh[i].open = d.open; });
      const targets = 'a, button, summary';
      const focus = [...old.querySelectorAll(targets)].indexOf(document.activeElement);
      old.replaceWith(part);
      if (focus >= 0) part.querySelectorAll(targets)[focus]?.focus({ preventScroll: true });
      if (part.classList.contains('msg') && part.querySelector('.error')) {
        document.getElementById(`f${part.id.slice(1)}`)?.setAttribute('aria-invalid', 'true');
      }
    }
    const unsound = document.getElementById('problems').dataset.state === 'unsound';
    document.querySelector('main').classList.toggle('stale', unsound);
    document.getElementById('strip').classList.toggle('stale', unsound);
  };

  // Spoken once the setting rests: a status line that changed with every step would never end.
  const speak = (place, words) => {
    clearTimeout(speaking);
    speaking = setTimeout(() => { if (place.textContent !== words) place.textContent = words; }, SPEAKING_MS);
  };

  /** A slider with a button at each end, moving a text field through its steps. */
  const slider = (field) => {
    const stops = field.dataset.stops.split('|');
    const name = field.dataset.label;
    const range = document.createElement('input');
    range.type = 'range';
    range.min = '0';
    range.max = String(stops.length - 1);
    range.step = '1';
    range.setAttribute('aria-label', `${name}, in steps`);
    const place = () => {
      const at = stops.indexOf(field.value || field.placeholder);
      if (at >= 0) range.value = String(at);
      range.setAttribute('aria-valuetext', field.value || field.placeholder);
    };
    const move = (to) => {
      const at = Math.min(Math.max(to, 0), stops.length - 1);
      if (field.value === stops[at]) return;
      const moved = performance.now();
      field.value = stops[at];
      place();
      changed(moved);
    };
    const button = (sign, words, step) => {
      const b = document.createElement('button');
      b.type = 'button';
      b.textContent = sign;
      b.setAttribute('aria-label', `${name}: ${words}`);
      b.addEventListener('click', () => move(Number(range.value) + step));
      return b;
    };
    range.addEventListener('input', () => move(Number(range.value)));
    field.addEventListener('input', place);
    const row = document.createElement('div');
    row.className = 'slide';
    row.append(button('\u2212', 'one step less', -1), range, button('+', 'one step more', 1));
    field.after(row);
    place();
  };

  for (const field of form.querySelectorAll('[data-stops]')) slider(field);

  form.addEventListener('input', (event) => {
    if (!event.target.name?.startsWith('s.')) return;
    clearTimeout(typing);
    const moved = performance.now();
    typing = setTimeout(() => changed(moved), event.target.tagName === 'SELECT' ? 0 : TYPING_MS);
  });

  form.addEventListener('submit', (event) => {
    if (event.submitter?.formAction.endsWith('/save')) return;
    event.preventDefault();
    changed();
  });

  document.getElementById('save-name').addEventListener('keydown', (event) => {
    if (event.key !== 'Enter') return;
    event.preventDefault();
    form.requestSubmit(form.querySelector('[formaction="/save"]'));
  });

  document.addEventListener('click', (event) => {
    const link = event.target.closest?.('a[data-live]');
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey || event.button) return;
    event.preventDefault();
    ask(new URL(link.href).search.slice(1), performance.now(), history.pushState);
  });

  // A link to a field that is folded away unfolds it.
  const unfold = () => {
    const target = location.hash.length > 1 && document.getElementById(decodeURIComponent(location.hash.slice(1)));
    for (let at = target; at; at = at.parentElement) if (at.tagName === 'DETAILS') at.open = true;
    if (target && target.matches('input, select, textarea, summary, h2')) target.focus();
  };
  window.addEventListener('hashchange', unfold);
  window.addEventListener('popstate', () => { if (!location.hash) location.reload(); });

  // A field sheet is read by the program, which knows its columns and units; nothing of it is kept there.
  const file = document.getElementById('sieve-file');
  file?.addEventListener('change', async () => {
    const sheet = file.files[0];
    const into = document.getElementById(file.dataset.into);
    if (!sheet || !into) return;
    const units = document.getElementById('f-units')?.value || '';
    const said = document.getElementById(`m${file.dataset.into.slice(1)}`);
    try {
      const q = new URLSearchParams({ name: sheet.name, units });
      const answer = await fetch(`/sieves?${q}`, { method: 'POST', body: sheet });
      const text = await answer.text();
      if (answer.ok) {
        into.value = text;
        changed();
      } else {
        const words = document.createElement('span');
        words.className = 'error';
        words.textContent = answer.status === 413 ? 'The file is too large for a sieve sheet.' : text;
        said.replaceChildren(words);
      }
    } catch {
      fail('The program behind this page has stopped. Start it again.');
    }
    file.value = '';
  });
})();
