/** What the review page adds to the style sheet. */
export const reviewStyle = `
#review{position:sticky;top:0;z-index:8;padding:.6rem clamp(.8rem,2vw,1.6rem);box-shadow:0 2px 0 var(--line)}
#review h2{font-size:1rem;margin:0}
.live #review.js{display:block}
#review .hint{margin:.1rem 0 .4rem}
.decide{display:flex;flex-wrap:wrap;gap:.5rem .8rem;align-items:center}
html{scroll-padding-top:9rem}
@media print{#review,.live #review.js{display:none}}
`;

/** The review page's own script: sends a decision to the server that served the page, and shows what came of it. */
export const reviewScript = `'use strict';
(() => {
  const one = (selector) => document.querySelector(selector);
  const all = (selector) => Array.from(document.querySelectorAll(selector));
  const answer = one('#review-answer');
  const shown = () => one('.frame.now');
  const nameShown = () => {
    const frame = shown();
    one('#review-frame').textContent = frame ? frame.querySelector('summary b').textContent.trim() : '';
  };
  const watched = one('#frames');
  if (watched) new MutationObserver(nameShown).observe(watched, { subtree: true, attributeFilter: ['class'] });
  nameShown();

  // The server's own markup, parsed without running anything; elements stay, their content is exchanged.
  function renew(id, markup) {
    const old = document.getElementById(id);
    const parsed = new DOMParser().parseFromString(markup, 'text/html');
    const fresh = parsed.getElementById(id) || parsed.body;
    if (!old) return;
    if (fresh !== parsed.body) for (const { name, value } of fresh.attributes) old.setAttribute(name, value);
    old.replaceChildren(...fresh.childNodes);
    if (old.dataset.decision) remark(old.dataset.f, old.dataset.decision === 'keep');
  }
  function remark(index, keep) {
    for (const mark of all('use[data-f="' + index + '"]')) {
      mark.setAttribute('href', mark.getAttribute('href').replace(/^#[kr]/, keep ? '#k' : '#r'));
    }
  }
  async function decide(decision) {
    const frame = shown();
    if (!frame) return;
    const index = Number(frame.dataset.f);
    answer.textContent = '\\u2026';
    try {
      const response = await fetch('/decision', {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify({ frame: index, decision: decision === '' ? null : decision }),
      });
      const result = await response.json();
      if (!response.ok) throw new Error(result.error);
      for (const [id, markup] of Object.entries(result.changed)) renew(id, markup);
      answer.textContent = result.words;
    } catch (error) {
      answer.textContent = 'Not kept: ' + error.message;
    }
  }
  for (const button of all('[data-decide]')) button.addEventListener('click', () => decide(button.dataset.decide));
  document.addEventListener('keydown', (event) => {
    if (event.altKey || event.ctrlKey || event.metaKey || event.repeat) return;
    if (event.target.closest && event.target.closest('input, select, textarea')) return;
    const decision = { k: 'keep', r: 'reject', m: '' }[event.key.toLowerCase()];
    if (decision !== undefined) { event.preventDefault(); decide(decision); }
  });
})();
`;
