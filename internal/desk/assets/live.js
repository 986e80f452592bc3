// Keeps the page what it would be if it were loaded again: after a change, when a study has
// finished, and when a file was changed elsewhere.

const status = document.getElementById('status');
export const headers = {'Desk-Live': 'yes'}; // the page follows what comes to be known
let stream, asked = 0, sending = 0, leaving = false;

// swap puts a page that was fetched in the place of this one, and the cursor back where it was.
function swap(text) {
  const page = new DOMParser().parseFromString(text, 'text/html');
  const at = document.activeElement?.id, select = document.activeElement?.selectionStart;
  const open = new Set([...document.querySelectorAll('details[open]')].map(nameOf));
  for (const part of ['header', 'nav', '#main']) {
    const now = document.querySelector(part), next = page.querySelector(part);
    if (now && next && !now.isEqualNode(next)) now.replaceWith(next);
  }
  for (const d of document.querySelectorAll('details')) if (open.has(nameOf(d))) d.open = true;
  document.title = page.title;
  Object.assign(document.body.dataset, page.body.dataset);
  const wrong = document.querySelector('[aria-invalid]');
  const again = wrong ?? (at && document.getElementById(at));
  if (again) {
    again.focus({preventScroll: !wrong});
    if (!wrong && select != null && again.setSelectionRange && again.type === 'text') again.setSelectionRange(select, select);
  }
  document.dispatchEvent(new Event('swapped'));
}

// held is over when no button is held down: what is pressed must not go from under the finger.
let held = Promise.resolve();
addEventListener('pointerdown', () => {
  held = new Promise(go => {
    for (const end of ['pointerup', 'pointercancel', 'blur']) addEventListener(end, () => setTimeout(go), {once: true});
  });
});

const nameOf = d => (d.closest('[id]')?.id ?? '') + '/' + (d.querySelector('summary')?.textContent ?? '');

// typing is an input in which something was typed that is not written yet.
// What was refused is not written either.
const typed = 'main form[method=post] input[type=text]';
const typing = () => !!document.querySelector('main form.record .wrong')
  || [...document.querySelectorAll('main input[type=file]')].some(i => i.files.length)
  || [...document.querySelectorAll(typed)].some(i => i.value !== i.defaultValue)
  || [...document.querySelectorAll('main form.record select')].some(s => ![...s.options].some(o => o.defaultSelected) ? s.selectedIndex > 0 : !s.selectedOptions[0]?.defaultSelected);

// load fetches the page again; what is being typed is not taken away.
async function load() {
  if (sending) return; // what is being sent answers with the page as it is then, which may be another
  if (typing()) {
    say('There is something new; it shows when what you typed is written or taken away.');
    return;
  }
  const turn = ++asked;
  const answer = await get(location.href, {headers});
  await held;
  if (answer && turn === asked && !typing()) swap(answer.text);
}

// get asks the server; null when it does not answer, which is said, or when the page is being left.
export async function get(address, how) {
  try {
    const answer = await fetch(address, how);
    return {ok: answer.ok, url: answer.url, redirected: answer.redirected, type: answer.headers.get('Content-Type') ?? '', text: await answer.text()};
  } catch {
    if (!leaving) say('The desk does not answer. Is it still running?');
    return null;
  }
}

export function say(text, busy) {
  status.textContent = text;
  status.classList.toggle('busy', !!busy);
}

// strip puts a promise in the place of what it was; what is open in it stays open.
function strip(now, html) {
  const open = now.querySelector('details[open]'), at = now.contains(document.activeElement);
  now.outerHTML = html;
  const next = document.getElementById(now.id);
  if (open) next.querySelector('details')?.setAttribute('open', '');
  if (at) next.querySelector('summary')?.focus({preventScroll: true});
}

// follow begins to listen, or stops it.
export function follow(on) {
  if (on) listen();
  else stream?.close();
}

// listen follows what comes to be known; the server closes the stream of a look that is over.
function listen() {
  stream?.close();
  stream = new EventSource('/events?' + new URLSearchParams({page: location.pathname + location.search, ...document.body.dataset}));
  stream.addEventListener('promise', e => {
    const {name, html, done, all} = JSON.parse(e.data);
    const now = document.getElementById('promise-' + name);
    if (now) strip(now, html);
    say(`${done} of ${all} judged`, done < all);
  });
  stream.addEventListener('load', () => {
    say('');
    if (document.getElementById('trial-form')) import('./trial.js').then(t => t.take());
    else load().then(listen);
  });
  stream.addEventListener('rest', () => say(''));
  stream.addEventListener('busy', e => say(e.data, true));
}

// Forms that change something are sent without leaving the page.
document.addEventListener('submit', async e => {
  const form = e.target;
  if (form.method !== 'post' || form.enctype === 'multipart/form-data') return;
  e.preventDefault();
  const body = new URLSearchParams(new FormData(form, e.submitter));
  const turn = ++asked;
  sending++;
  const answer = await get(form.action, {method: 'POST', body, headers});
  sending--;
  if (!answer) return;
  if (!answer.type.startsWith('text/html')) {
    say(answer.text);
    return;
  }
  if (turn !== asked) return;
  form.querySelectorAll('input[type=text]').forEach(i => { i.defaultValue = i.value; });
  if (answer.redirected && new URL(answer.url).pathname !== location.pathname) history.pushState(null, '', answer.url);
  swap(answer.text);
  listen();
});

// A choice shows at once what the button beside it shows.
document.addEventListener('change', e => {
  if (e.target.closest('form.variant')) e.target.form.requestSubmit();
});

addEventListener('popstate', () => load().then(listen));
addEventListener('beforeunload', () => { leaving = true; });
addEventListener('pagehide', () => stream?.close());
addEventListener('pageshow', e => { leaving = false; if (e.persisted) load().then(listen); });
listen();
