// Sliders for what is tried: the strips follow while one is moved, and nothing else of the page is touched.
import {follow, get, headers, say} from './live.js';

const pause = 80; // ms without a movement before the server is asked
let timer, asked = 0;

// figure takes "27.3 V ±0.4 %" apart: the number that is moved, and the rest that stays.
const figure = text => /^([-−+]?\d+(?:\.\d+)?)(.*)$/s.exec(text.trim());

// sliders lays one beside each value, from half of what the file has to twice as much.
function sliders() {
  for (const input of document.querySelectorAll('#trial-form input.to')) {
    const is = figure(input.dataset.is), now = figure(input.value);
    if (!is || !now || input.nextElementSibling?.type === 'range') continue;
    const base = Number(is[1].replace('−', '-')), size = Math.abs(base) || 1;
    const slider = document.createElement('input');
    const decimals = Math.max(2 - Math.floor(Math.log10(size)), 0);
    slider.type = 'range';
    slider.min = base ? Math.min(base / 2, base * 2) : -1;
    slider.max = base ? Math.max(base / 2, base * 2) : 1;
    slider.step = 10 ** -decimals;
    slider.value = now[1].replace('−', '-');
    slider.setAttribute('aria-label', 'move ' + input.labels[0].firstChild.textContent.trim());
    slider.setAttribute('aria-valuetext', input.value);
    slider.addEventListener('input', () => {
      const rest = (figure(input.value) ?? is)[2];
      input.value = Number(slider.value).toFixed(decimals).replace(/(\.\d*?)0+$/, '$1').replace(/\.$/, '') + rest;
      slider.setAttribute('aria-valuetext', input.value);
      clearTimeout(timer);
      timer = setTimeout(show, pause);
    });
    input.after(slider);
  }
}

// show asks for the page of what is tried now, and takes from it what it says.
async function show() {
  const form = document.getElementById('trial-form');
  if (!form) return;
  history.replaceState(null, '', form.action + '?' + new URLSearchParams(new FormData(form)));
  await take();
}

// take puts what the page would say if it were loaded again in the place of what it says; the inputs stay as they are.
export async function take() {
  const turn = ++asked;
  follow(false);
  const answer = await get(location.href, {headers});
  if (!answer || turn !== asked) return;
  const page = new DOMParser().parseFromString(answer.text, 'text/html');
  const next = page.getElementById('trial-said');
  if (!next) return;
  const said = document.getElementById('trial-said'), at = said.contains(document.activeElement) && document.activeElement;
  for (const now of said.querySelectorAll('input[id]')) { // what is being typed stays
    const input = next.querySelector('#' + CSS.escape(now.id));
    if (input && now.value !== now.defaultValue) input.value = now.value;
  }
  said.replaceWith(next);
  if (at?.id) {
    const again = document.getElementById(at.id);
    again?.focus({preventScroll: true});
    if (again?.type === 'text') again.setSelectionRange(at.selectionStart, at.selectionEnd);
  }
  for (const input of document.querySelectorAll('#trial-form input.to')) {
    const said = page.getElementById(input.id), wrong = page.getElementById(input.id + '-wrong');
    document.getElementById(input.id + '-wrong')?.remove();
    input.toggleAttribute('aria-invalid', !!said?.hasAttribute('aria-invalid'));
    if (said?.hasAttribute('aria-invalid')) input.setAttribute('aria-invalid', 'true');
    if (wrong) input.parentElement.append(wrong);
  }
  Object.assign(document.body.dataset, page.body.dataset);
  say('');
  follow(true);
}

document.addEventListener('submit', e => {
  if (e.target.id === 'trial-form') {
    e.preventDefault();
    show().then(() => document.querySelectorAll('#trial-form input[type=range]').forEach(s => {
      const now = figure(s.previousElementSibling.value);
      if (now) s.value = now[1].replace('−', '-');
    }));
  } else if (e.target.matches('form.variant')) { // what is tried goes along, as it is now
    const form = document.getElementById('trial-form');
    if (!form) return;
    e.target.querySelectorAll('[name=in], [name=to]').forEach(i => i.remove());
    for (const i of form.querySelectorAll('[name=in], [name=to]')) {
      const copy = Object.assign(document.createElement('input'), {type: 'hidden', name: i.name, value: i.value});
      e.target.append(copy);
    }
  } else if (e.target.matches('.trial.more')) { // with the values as they are now
    const form = document.getElementById('trial-form');
    e.preventDefault();
    const all = new URLSearchParams(form ? new FormData(form) : '');
    all.append('in', e.target.querySelector('select').value);
    location.assign(e.target.action + '?' + all);
  }
});
document.addEventListener('swapped', sliders);
sliders();
