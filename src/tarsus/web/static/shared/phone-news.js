// @ts-check
// What a phone shows of what it is told once a day.

/** Why a phone cannot be told. */
export const CANNOT = {
  unable: 'This browser cannot be told anything. '
    + 'On some phones Tarsus must first be put on the home screen, and opened from there.',
  refused: 'The phone was not allowed to show notices. Its settings for this page change that; then tap again.',
  failed: 'The browser’s push service was not reached. Try again with a connection.',
};

/** @typedef {{title: string, options: {body: string, tag: string}}} Notice */

/**
 * What is shown of a message: its first line is the title, which says nothing, the others are the text. Today's takes
 * the place of yesterday's.
 * @param {string} message @returns {Notice}
 */
export function noticeOf(message) {
  const [title, ...lines] = message.split('\n');
  return { title: title || 'Tarsus', options: { body: lines.join('\n').trim(), tag: 'tarsus-today' } };
}
