// @ts-check
// The page Record: the deeds that a phone can tell without signal, each as its declaration has it. What is written
// stands on this phone before the page says so.

import { keptHolder } from './hand-over.js';
import { usePalette } from './page-palette.js';
import { Kept } from './kept.js';
import { Sending } from './sending.js';
import { cannotOpen, whileAsking } from './asking.js';
import { fetchPacks, keptExhibits, keptPacks, noPacks, notHere } from './packs.js';
import { html, patch } from './markup.js';
import { choices, glyph } from './roll-call-pieces.js';
import { Tell } from './tell-state.js';
import { fields } from './tell-fields.js';
import * as move from './tell-move.js';
import { dayOf } from '../shared/calls.js';
import { momentOf } from '../shared/facts.js';
import { read } from '../shared/deed-form.js';
import { counted } from '../shared/numbers.js';
import { registerWorker } from './on-this-phone.js';
import { sound } from './sound.js';

/** @typedef {import('../shared/deed-form.js').Deed} Deed */
/** @typedef {import('../shared/deed-form.js').Filled} Filled */

const main = /** @type {HTMLElement} */ (document.getElementById('main'));
const badge = /** @type {HTMLElement} */ (document.getElementById('call-badge'));
const title = /** @type {HTMLElement} */ (document.getElementById('tell-title'));
/** @type {Deed[]} */
const DECLARED = JSON.parse(document.body.dataset.deeds || '[]');

/** @param {Partial<import('./tell-state.js').Named>} named @returns {string} */
const address = (named) =>
  `#${new URLSearchParams(
    Object.entries(named).filter(([, value]) => value).map(([key, value]) => [key, String(value)]),
  )}`;

/** @param {Tell} tell */
function draw(tell) {
  const { deed, named } = tell, { kept } = tell.kept.here(), bird = tell.bird(named.bird);
  title.textContent = deed ? titleOf(tell, deed) : 'Record';
  patch(
    main,
    html`${
      tell.trouble && html`<p class="missing trouble" role="alert" data-k="trouble">${tell.trouble}</p>
    `
    }${tell.said && html`<p class="note notice" role="status" data-k="said">${tell.said}</p>`}
${
      bird && html`<div class="who" data-k="bird">${glyph(bird, formOf(tell, bird.id))}<p>
  <b>${bird.name}</b><span class="small">${bird.species}, ${tell.pack?.exhibit.name || ''}</span></p></div>`
    }
${
      !bird &&
      choices({
        label: 'Exhibit',
        act: 'exhibit',
        kind: 'places-row exhibits-row',
        of: tell.packs.filter(({ flocks }) => flocks.length).map(({ exhibit }) => ({
          value: String(exhibit.id),
          words: exhibit.name,
        })),
        chosen: String(named.exhibit ?? ''),
      })
    }
${deed ? form(tell, deed) : list(tell)}`,
  );
  patch(
    badge,
    kept ?
      html`<span class="badge"><span class="num">${kept}</span> kept<span
    class="long"> on this phone</span></span>` :
      html`<span class="badge is-sent">all sent</span>`,
  );
}

/** A move without a bird is that of a whole house. @param {Tell} tell @param {{name: string, title: string}} deed */
const titleOf = (
  tell,
  { name, title: words },
) => (name === 'moved' && !tell.named.bird ? 'A whole house moves' : words);

/** @param {Tell} tell @param {number} id */
const formOf = (tell, id) =>
  tell.at(id)?.flocks.find(({ birds }) => birds.some((bird) => bird.id === id))?.form || 'legs';

/** @param {Tell} tell */
function list(tell) {
  const { exhibit, bird } = tell.named, here = tell.birds();
  return html`${
    tell.refused().map(({ fact, reason }) =>
      html`<div class="mend" data-k="m${fact.id}"><p class="refusal">
    <b>${tell.deeds.find(({ name }) => name === fact.kind)?.title},
    ${momentOf(fact.at)}${
        typeof fact.bird === 'number' && html`,
    ${tell.bird(fact.bird)?.name || 'a bird that is not on this phone'}`
      }:</b> ${reason}</p>
    <button class="btn" type="button" data-act="mend" data-id="${fact.id}">Record it again</button></div>`
    )
  }
    <ul class="more-list" data-k="list">${
    tell.offered().map(({ name, title: words }) =>
      html`<li data-k="${name}">
    <a class="line row" href="${address({ deed: name, exhibit, bird })}"><span></span><span
    class="name">${titleOf(tell, { name, title: words })}</span></a></li>`
    )
  }</ul>
${
    tell.pack && !bird && html`<h2 class="ruled" data-k="h">
  ${here.length} ${counted('bird', here.length)} in ${tell.pack.exhibit.name}</h2><ul class="bird-grid" data-k="birds">
  ${
      here.map((one) =>
        html`<li data-k="b${one.id}">
  <a class="line row tight" href="${address({ bird: one.id })}"><span>${glyph(one, formOf(tell, one.id))}</span><span
  class="name">${one.name}</span></a></li>`
      )
    }</ul>`
  }`;
}

/** @param {Tell} tell @param {Deed} deed */
function form(tell, deed) {
  if (tell.sure) return sure(tell, deed, tell.sure);
  return html`<form class="fields" data-k="form-${deed.name}" novalidate>
    ${deed.name === 'moved' ? move.view(tell) : fields(tell, deed)}
${
    deed.when && html`<div class="field" data-k="when">
  <label for="t-when">When, if not now</label><input id="t-when" name="at" type="datetime-local"></div>`
  }
${deed.caution && html`<p class="caution" data-k="caution">${deed.caution}</p>`}
<div class="deeds two" data-k="sends">
  <button class="btn" type="button" data-act="leave">Cancel</button><button class="btn first"
  type="submit">${deed.asks_twice ? 'Go on' : 'Save'}</button></div></form>`;
}

/** What is grave is shown once more before it is kept. @param {Tell} tell @param {Deed} deed
 * @param {Record<string, any>} asked */
function sure(tell, deed, asked) {
  const said = deed.fields.filter(({ name }) => asked.keys[name] !== undefined && asked.keys[name] !== false);
  return html`<section data-k="sure"><p class="caution" role="status"><b>This will be saved:</b></p><dl class="facts">
    ${said.map((field) => html`<dt>${field.label}</dt><dd>${words(tell, field, asked.keys[field.name])}</dd>`)}</dl>
    ${
    deed.name === 'death' && !asked.keys.bird && html`<p data-k="which">
    Which bird it was stays open until somebody says so; the count drops by one now.</p>`
  }
<div class="deeds two"><button class="btn" type="button" data-act="change">Change it</button><button class="btn first"
  type="button" data-act="sure">Yes, save</button></div></section>`;
}

/** @param {Tell} tell @param {import('../shared/deed-form.js').Field} field @param {any} value @returns {string} */
function words(tell, field, value) {
  if (field.kind === 'bird') return tell.bird(value)?.name || '';
  if (field.kind === 'exhibit') return tell.exhibits.find(({ id }) => id === value)?.name || '';
  if (field.kind === 'species')
    return tell.packs.flatMap(({ flocks }) => flocks.flatMap((flock) => flock.kinds || [])).find(({ id }) =>
      id === value
    )?.name || '';
  return value === true ? 'yes' : String(value);
}

/** What the form holds. @param {HTMLFormElement} of @returns {Filled} */
function filled(of) {
  /** @type {Filled} */
  const found = {};
  for (const box of of.elements) {
    if (
      !(box instanceof HTMLInputElement || box instanceof HTMLSelectElement || box instanceof HTMLTextAreaElement) ||
      !box.name
    ) continue;
    if (!(box instanceof HTMLInputElement) || box.type !== 'checkbox') found[box.name] = box.value;
    else if (box.dataset.several === undefined) found[box.name] = box.checked;
    else found[box.name] = [.../** @type {string[]} */ (found[box.name] || []), ...(box.checked ? [box.value] : [])];
  }
  return found;
}

/** @param {Tell} tell @param {Deed} deed @param {Filled} said */
async function submit(tell, deed, said) {
  const { keys, wrong } = deed.name === 'moved'
    ? move.read(tell, said)
    : read(deed, said, { bird: tell.named.bird }, dayOf(Date.now(), tell.packs[0].park.zone));
  tell.wrong = wrong;
  if (wrong.length) {
    tell.trouble = 'Not saved yet: see below.';
    sound('refused');
    return;
  }
  if (deed.asks_twice) tell.sure = { keys, at: String(said.at || '') };
  else await keep(tell, deed, keys, String(said.at || ''));
}

/** @param {Tell} tell @param {Deed} deed @param {Record<string, any>} keys @param {string} at */
async function keep(tell, deed, keys, at) {
  const { exhibit, bird } = tell.named;
  await tell.keep(deed, keys, at);
  tell.said = `Kept on this phone: ${deed.title.toLowerCase()}${
    keys.came ? `, ${keys.came.length} ${counted('bird', keys.came.length)}` : ''
  }. It is sent when the server answers.`;
  tell.sure = null;
  location.hash = address({ exhibit, bird: tell.bird(bird) ? bird : null });
  sound('seen');
}

/** @type {Record<string, (tell: Tell, button: HTMLElement) => unknown>} */
const ACTS = {
  exhibit: (tell, button) => {
    location.hash = address({ deed: tell.named.deed, exhibit: Number(button.dataset.value) });
  },
  leave: (tell) => {
    tell.sure = null;
    location.hash = address({ exhibit: tell.named.exhibit, bird: tell.named.bird });
  },
  mend: (tell, button) => {
    const old = tell.refused().find(({ fact }) => fact.id === button.dataset.id)?.fact;
    if (!old) return;
    tell.mends = old.id;
    location.hash = address({
      deed: old.kind,
      exhibit: old.exhibit || tell.named.exhibit,
      bird: old.bird && tell.bird(old.bird) ? old.bird : null,
    });
  },
  change: (tell) => {
    tell.sure = null;
  },
  sure: async (tell) => {
    const { deed, sure: asked } = tell;
    if (deed && asked) await keep(tell, deed, asked.keys, asked.at);
  },
};

/** @param {Tell} tell */
function listen(tell) {
  let turn = Promise.resolve();
  const act = (/** @type {() => unknown} */ what) => {
    turn = turn.then(() => {
      tell.trouble = '';
      tell.said = '';
      return what();
    }).then(() => undefined, (error) => {
      tell.trouble = error instanceof Error ? error.message : String(error);
      sound('refused');
    }).then(() => draw(tell));
  };
  document.addEventListener('click', (event) => {
    const button = event.target instanceof Element
      ? /** @type {HTMLElement|null} */ (event.target.closest('[data-act]'))
      : null;
    if (button && ACTS[button.dataset.act || '']) act(() => ACTS[button.dataset.act || ''](tell, button));
  });
  document.addEventListener('submit', (event) => {
    event.preventDefault();
    const { deed } = tell, of = event.target;
    if (deed && of instanceof HTMLFormElement) {
      const said = filled(of);
      act(() => submit(tell, deed, said));
    }
  });
  addEventListener('hashchange', () => {
    tell.wrong = [];
    draw(tell);
    main.scrollTop = 0;
  });
  tell.kept.watchers.add(() => {
    tell.refresh();
    draw(tell);
  });
  draw(tell);
}

async function begin() {
  const kept = await Kept.open(), known = await keptPacks(kept.store), fresh = fetchPacks(kept.store);
  const packs = known.length ? known : (await whileAsking(main, 'the birds of the exhibits', fresh)).packs;
  if (!packs.length) throw new Error(noPacks((await fresh).all));
  usePalette(packs[0].park.palette, packs[0].park.letters);
  const { person } = packs[0];
  const tell = new Tell(packs, kept, await keptHolder(kept, person.id), DECLARED, await keptExhibits(kept.store));
  listen(tell);
  new Sending(kept, () => draw(tell)).soon(0);
  void registerWorker();
  tell.fetched = (await fresh).packs;
  tell.exhibits = await keptExhibits(kept.store);
  tell.refresh();
  const lacking = await notHere(kept.store);
  if (lacking.length) tell.trouble = `Not on this phone: ${lacking.join(', ')}.`;
  draw(tell);
}

begin().catch((error) => cannotOpen(main, error));
