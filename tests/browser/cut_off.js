// Every piece of text that cannot be read whole, and why: cut off by a part of the page that hides what runs over,
// out of the button or cell it was written for, beside the page, under something else, or broken within a short word.
// An expression: the browser tests evaluate it on the page.
(() => {
  const SLACK = 1.5;
  const wide = document.documentElement.clientWidth;
  const BOX = 'button, .btn, .tile, .badge, td, th, .lk, .slot, .seg, .nav a, .modes a, li, .key';
  const NOT_READ = '.hide, .skip, noscript, script, style, option, title, textarea';
  const named = (el) => `${el.tagName}.${el.getAttribute('class')}`;
  const scrolls = (overflow) => overflow === 'auto' || overflow === 'scroll';
  const beside = (line, box) => line.left < box.left - SLACK || line.right > box.right + SLACK;
  const aboveOrBelow = (line, box) => line.top < box.top - SLACK || line.bottom > box.bottom + SLACK;
  const rows = (range) => new Set([...range.getClientRects()].map((at) => Math.round(at.top))).size;

  /** Bars that stand still cover what scrolls below them, and are meant to. */
  const standsStill = (el) => {
    for (let up = el; up; up = up.parentElement) if (/fixed|sticky/.test(getComputedStyle(up).position)) return true;
    return false;
  };

  /** Short words that are broken over two lines. */
  const broken = (node, range) => {
    const words = [];
    for (const word of node.data.matchAll(/(?<![\p{L}\d])[\p{L}\d]{2,12}(?![\p{L}\d])/gu)) {
      range.setStart(node, word.index);
      range.setEnd(node, word.index + word[0].length);
      if (rows(range) > 1) words.push(word[0]);
    }
    range.selectNodeContents(node);
    return words;
  };

  /** What stands over the middle of a line that should be seen. */
  const cover = (el, at) => {
    const over = document.elementFromPoint((at.left + at.right) / 2, (at.top + at.bottom) / 2);
    if (!over || over.contains(el) || el.contains(over) || standsStill(over) || el.closest('svg')) return null;
    if (el.closest('a, button, label, summary')?.contains(over)) return null;
    return getComputedStyle(over, '::after').position === 'absolute' ? null : over; // a card that is tapped as a whole
  };

  const why = (el, at) => {
    const line = { left: at.left, right: at.right, top: at.top + at.height * 0.2, bottom: at.bottom - at.height * 0.2 };
    const own = el.closest(BOX)?.getBoundingClientRect();
    if (own && !el.closest('svg') && (beside(line, own) || aboveOrBelow(line, own))) return 'out of its box';
    let acrossIsFree = false, downIsFree = false, scrolledAway = false;
    for (let up = el; up && up !== document.body; up = up.parentElement) {
      const style = getComputedStyle(up), box = up.getBoundingClientRect();
      if (style.display === 'inline' || up.closest('text')) continue;
      if (scrolls(style.overflowX)) acrossIsFree = true;
      else if (style.overflowX !== 'visible' && !acrossIsFree && beside(line, box)) return `cut by ${named(up)}`;
      if (scrolls(style.overflowY)) {
        const room = up.clientHeight;
        if (!downIsFree && room < Math.min(up.scrollHeight, 60)) return `scrolls in ${room} px of ${named(up)}`;
        downIsFree = true;
        scrolledAway ||= line.top < box.top || line.bottom > box.bottom;
      } else if (style.overflowY !== 'visible' && !downIsFree && aboveOrBelow(line, box)) return `cut by ${named(up)}`;
      if (style.position === 'fixed') break;
    }
    const over = scrolledAway ? null : cover(el, at);
    if (over) return `under ${named(over)}`;
    return !acrossIsFree && beside(line, { left: 0, right: wide }) ? 'beside the page' : '';
  };

  if (!document.body) return [`nothing is drawn at ${location.href}`];
  const found = [], walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walk.nextNode(); node; node = walk.nextNode()) {
    const el = node.parentElement;
    if (!node.data.trim() || !el || el.closest(NOT_READ) || !el.checkVisibility({ visibilityProperty: true })) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    if (rows(range) > 1) found.push(...broken(node, range).map((word) => `the word ${word} is broken in ${named(el)}`));
    for (const at of range.getClientRects()) {
      const fault = at.width < 1 || at.height < 1 ? '' : why(el, at);
      if (fault) found.push(`${fault}: "${node.data.trim().slice(0, 40)}" in ${named(el.closest('[class]') ?? el)}`);
      if (fault) break;
    }
  }
  const over = document.documentElement.scrollWidth - wide;
  if (over > 1) found.push(`the page is ${over} px too wide`);
  return [...new Set(found)];
});
