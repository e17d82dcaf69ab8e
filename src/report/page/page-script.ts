/**
 * The page's script: adds sorting, filtering, hover read-outs and the frame stepper to a page that reads without it.
 * Plain browser JavaScript; it only moves and shows what is in the page, and never makes markup from text.
 */
export const pageScript = `'use strict';
(() => {
  const one = (selector) => document.querySelector(selector);
  const all = (selector, within) => Array.from((within || document).querySelectorAll(selector));
  document.documentElement.classList.add('live');

  let hot = [];
  const table = one('#subs-table');
  const body = table && table.tBodies[0];
  const rows = body ? Array.from(body.rows) : [];
  const rowOf = (index) => document.getElementById('t' + index);
  const frames = all('.frame');
  const shownRows = () => (body ? Array.from(body.rows).filter((row) => !row.hidden) : []);

  // Sorting: the head cells become buttons; what cannot be measured stays at the end either way.
  const heads = table ? all('thead th', table) : [];
  heads.forEach((head, column) => {
    if (head.dataset.column === 'reasons') return;
    const button = document.createElement('button');
    button.type = 'button';
    button.textContent = head.textContent;
    head.replaceChildren(button);
    button.addEventListener('click', () => {
      const up = head.getAttribute('aria-sort') !== 'ascending';
      heads.forEach((other) => other.removeAttribute('aria-sort'));
      head.setAttribute('aria-sort', up ? 'ascending' : 'descending');
      const numeric = head.classList.contains('n') || ['decision', 'time'].includes(head.dataset.column);
      const keyed = rows.map((row) => {
        const by = row.cells[column].dataset.by;
        return { row, by: by === undefined ? null : numeric ? Number(by) : by };
      });
      keyed.sort((a, b) => {
        if (a.by === null || b.by === null) return (a.by === null) - (b.by === null);
        const order = numeric ? a.by - b.by : a.by.localeCompare(b.by, 'en', { numeric: true });
        return up ? order : -order;
      });
      body.append(...keyed.map((entry) => entry.row));
      place();
    });
  });

  // Filtering.
  const form = one('#filters');
  const value = (id) => { const field = document.getElementById(id); return field ? field.value : ''; };
  function filter() {
    const words = value('find').toLowerCase().split(/\\s+/).filter(Boolean);
    const decision = value('by-decision');
    const group = value('by-group');
    const reason = value('by-reason');
    let n = 0;
    for (const row of rows) {
      const text = row.textContent.toLowerCase();
      const fits = (!decision || row.dataset.decision === decision) && (!group || row.dataset.group === group)
        && (!reason || row.dataset.reasons.split(' ').includes(reason)) && words.every((word) => text.includes(word));
      row.hidden = !fits;
      if (fits) n++;
    }
    one('#shown').textContent = n === rows.length ? n + (n === 1 ? ' sub' : ' subs') : n + ' of ' + rows.length + ' subs';
    const list = shownRows();
    if (list.length > 0 && !list.some((row) => row.dataset.f === String(current))) show(Number(list[0].dataset.f), true);
    else place();
  }
  if (form) {
    form.addEventListener('submit', (event) => event.preventDefault());
    form.addEventListener('input', filter);
    form.addEventListener('reset', () => setTimeout(filter));
  }

  // The stepper shows one frame; its order is the table's.
  let current = frames.length > 0 ? 0 : -1;
  function show(index, quietly) {
    const frame = document.getElementById('f' + index);
    if (!frame) return;
    const old = document.getElementById('f' + current);
    if (old) old.classList.remove('now');
    current = index;
    frame.classList.add('now');
    frame.open = true;
    if (!quietly) heat(index);
    place();
  }
  function place() {
    const list = shownRows();
    const at = list.findIndex((row) => row.dataset.f === String(current));
    const output = one('#step-place');
    if (output) output.textContent = at < 0 ? 'not in the list' : at + 1 + ' of ' + list.length;
    if (one('#step-back')) {
      one('#step-back').disabled = at <= 0;
      one('#step-on').disabled = at < 0 || at >= list.length - 1;
    }
  }
  function step(by) {
    const list = shownRows();
    const at = list.findIndex((row) => row.dataset.f === String(current));
    const next = by === -Infinity ? 0 : by === Infinity ? list.length - 1 : at + by;
    if (next >= 0 && next < list.length) show(Number(list[next].dataset.f));
  }
  if (frames.length > 0) {
    one('#frames').classList.add('stepping');
    one('#step-back').addEventListener('click', () => step(-1));
    one('#step-on').addEventListener('click', () => step(1));
    document.addEventListener('keydown', (event) => {
      if (event.altKey || event.ctrlKey || event.metaKey) return;
      const target = event.target;
      if (target.closest && target.closest('input, select, textarea, .tablebox')) return;
      const by = { ArrowLeft: -1, ArrowRight: 1, Home: -Infinity, End: Infinity }[event.key];
      if (by === undefined) return;
      if (Math.abs(by) === Infinity && !inView()) return;
      event.preventDefault();
      step(by);
      if (!inView()) document.getElementById('viewer').scrollIntoView();
    });
    const fromHash = () => {
      const match = /^#f(\\d+)$/.exec(location.hash);
      if (match) { show(Number(match[1])); document.getElementById('viewer').scrollIntoView(); }
    };
    addEventListener('hashchange', fromHash);
    show(0, true);
    if (location.hash) fromHash();
  }
  // Home and End belong to the page unless the stepper is what one looks at.
  function inView() {
    const box = one('#viewer').getBoundingClientRect();
    return box.top < innerHeight / 2 && box.bottom > innerHeight / 2;
  }

  // Read-outs: a mark tells its frame's row; all marks of a frame light up together.
  const readout = document.createElement('div');
  readout.id = 'readout';
  readout.hidden = true;
  readout.setAttribute('aria-hidden', 'true');
  document.body.append(readout);
  function heat(index) {
    hot.forEach((element) => element.classList.remove('hot'));
    hot = all('.m[data-f="' + index + '"]');
    const row = rowOf(index);
    if (row) hot.push(row);
    hot.forEach((element) => element.classList.add('hot'));
  }
  function tell(mark, event) {
    const row = rowOf(mark.dataset.f);
    if (!row) return;
    const parts = Array.from(row.cells).map((cell, i) => {
      const text = cell.textContent.trim();
      return i === 0 || !text ? text : heads[i].textContent + ': ' + text;
    });
    readout.textContent = parts.filter(Boolean).join('\\n');
    readout.hidden = false;
    const x = Math.min(event.clientX + 14, innerWidth - readout.offsetWidth - 6);
    const y = Math.min(event.clientY + 14, innerHeight - readout.offsetHeight - 6);
    readout.style.transform = 'translate(' + Math.max(4, x) + 'px,' + Math.max(4, y) + 'px)';
  }
  document.addEventListener('pointerover', (event) => {
    const mark = event.target.closest && event.target.closest('.m');
    if (!mark) { readout.hidden = true; return; }
    heat(mark.dataset.f);
    tell(mark, event);
  });
  document.addEventListener('click', (event) => {
    const mark = event.target.closest && event.target.closest('.m');
    if (mark) { show(Number(mark.dataset.f)); document.getElementById('viewer').scrollIntoView(); }
  });
  if (form) filter();
})();
`;
