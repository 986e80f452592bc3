// Reading a figure: a line across with the values there, a part of it by dragging, all of it by keyboard. The server draws each part.
import {get} from './live.js';

const by = 'http://www.w3.org/2000/svg';
const least = 8; // px that are meant as a part, and not as a click
const keys = '← and → read, + and − go nearer and farther, 0 shows the whole';

// arm lets each drawing of a curve be read.
function arm() {
  for (const figure of document.querySelectorAll('figure[data-window]')) {
    if (figure.dataset.armed) continue;
    figure.dataset.armed = 'yes';
    const out = document.createElement('div');
    out.className = 'readout';
    out.innerHTML = '<output aria-live="polite"></output><button type="button" hidden>Whole figure</button>';
    (figure.querySelector('.narrow') ?? figure.lastElementChild).after(out);
    for (const box of figure.querySelectorAll('.wide, .narrow')) if (box.querySelector('svg')) read(figure, box, out);
  }
}

function read(figure, box, out) {
  const said = out.querySelector('output'), whole = out.querySelector('button');
  let shown, asked = 0, at = null, begun = null, left;
  box.classList.add('reading');
  box.tabIndex = 0;
  box.setAttribute('role', 'group');
  box.setAttribute('aria-label', (box.querySelector('title')?.textContent || 'figure') + ': ' + keys);

  // draw asks for a part; without one, for the whole.
  async function draw(from, to) {
    const turn = ++asked, svg = box.querySelector('svg');
    const q = new URLSearchParams({width: svg.viewBox.baseVal.width});
    if (from != null) q.set('from', from), q.set('to', to);
    const answer = await get(figure.dataset.window + '&' + q);
    if (!answer) return;
    if (!answer.ok || turn !== asked) {
      if (turn === asked && from != null) said.textContent = 'There is nothing in that part.';
      return;
    }
    const drawn = JSON.parse(answer.text);
    if (shown) {
      const next = new DOMParser().parseFromString(drawn.svg, 'text/html').querySelector('svg');
      svg.replaceWith(document.adoptNode(next));
      at = null;
      said.textContent = from == null ? '' : 'A part is shown.';
    }
    left ??= {low: drawn.low, high: drawn.high};
    shown = drawn;
    whole.hidden = drawn.low <= left.low && drawn.high >= left.high;
  }

  const ready = async () => { if (!shown) await draw(); };
  const px = e => {
    const r = box.querySelector('svg').getBoundingClientRect();
    return (e.clientX - r.left) * box.querySelector('svg').viewBox.baseVal.width / r.width;
  };
  const inside = x => Math.max(shown.from, Math.min(shown.to, x));
  const value = x => shown.low + (x - shown.from) / (shown.to - shown.from) * (shown.high - shown.low);

  // shape puts one element into the drawing, in place of the last of its class.
  function shape(kind, name, what) {
    const svg = box.querySelector('svg');
    svg.querySelector('.' + name)?.remove();
    if (!what) return;
    const e = document.createElementNS(by, kind);
    e.setAttribute('class', name);
    for (const [k, v] of Object.entries(what)) e.setAttribute(k, v);
    svg.append(e);
  }

  // nearest is the place of the point of a series that stands nearest to x.
  function nearest(list, x) {
    let low = 0, high = list.length - 1;
    while (low < high) {
      const middle = low + high >> 1;
      if (list[middle] < x) low = middle + 1; else high = middle;
    }
    return low > 0 && x - list[low - 1] < list[low] - x ? low - 1 : low;
  }

  function cross(x) {
    const all = shown.series.filter(s => s.at?.length);
    if (!all.length) return;
    const first = all.reduce((a, b) => Math.abs(b.at[nearest(b.at, x)] - x) < Math.abs(a.at[nearest(a.at, x)] - x) ? b : a);
    at = first.at[nearest(first.at, x)];
    shape('line', 'cross', {x1: at, x2: at, y1: shown.top, y2: shown.foot});
    const words = all.filter(s => at >= s.at[0] - 1 && at <= s.at.at(-1) + 1).map(s => (s.name && all.length > 1 ? s.name + ' ' : '') + s.y[nearest(s.at, at)]);
    said.textContent = `at ${first.x[nearest(first.at, at)]}: ${words.join(' · ')}`;
  }

  function step(by) {
    const places = [...new Set(shown.series.flatMap(s => s.at ?? []))].sort((a, b) => a - b);
    if (!places.length) return;
    const now = at == null ? (by > 0 ? -1 : places.length) : nearest(places, at);
    const far = Math.max(1, Math.round(places.length / 200)); // no more steps than one sees
    cross(places[Math.max(0, Math.min(places.length - 1, now + by * (at == null ? 1 : far)))]);
  }

  // nearer shows a part around the line, or more again.
  function nearer(factor) {
    const middle = value(at ?? (shown.from + shown.to) / 2), half = (shown.high - shown.low) * factor / 2;
    const from = Math.max(left.low, middle - half), to = Math.min(left.high, middle + half);
    return from <= left.low && to >= left.high ? draw() : draw(from, to);
  }

  box.addEventListener('focus', ready);
  box.addEventListener('pointermove', async e => {
    await ready();
    if (!shown) return;
    const x = inside(px(e));
    if (begun != null) {
      const a = Math.min(begun, x), b = Math.max(begun, x);
      shape('rect', 'chosen', {x: a, width: b - a, y: shown.top, height: shown.foot - shown.top});
    }
    cross(x);
  });
  box.addEventListener('pointerdown', async e => {
    if (e.button !== 0 || e.pointerType === 'touch') return;
    e.preventDefault();
    box.focus({preventScroll: true});
    box.setPointerCapture(e.pointerId);
    const x = px(e);
    await ready();
    if (shown) begun = inside(x);
  });
  box.addEventListener('pointerup', e => {
    if (begun == null) return;
    const a = begun, b = inside(px(e));
    begun = null;
    shape('rect', 'chosen', null);
    if (Math.abs(b - a) >= least) draw(value(Math.min(a, b)), value(Math.max(a, b)));
  });
  box.addEventListener('pointercancel', () => { begun = null; shape('rect', 'chosen', null); });
  box.addEventListener('pointerleave', () => { if (begun == null && document.activeElement !== box) shape('line', 'cross', null); });
  box.addEventListener('dblclick', () => draw());
  box.addEventListener('keydown', async e => {
    const does = {ArrowRight: () => step(1), ArrowLeft: () => step(-1), '+': () => nearer(0.5), '=': () => nearer(0.5), '-': () => nearer(2), '−': () => nearer(2), 0: () => draw(), Escape: () => draw()}[e.key];
    if (!does || e.ctrlKey || e.metaKey || e.altKey) return;
    e.preventDefault();
    await ready();
    if (shown) does();
  });
  whole.addEventListener('click', () => { if (box.offsetParent) draw(); });
}

document.addEventListener('swapped', arm);
arm();
