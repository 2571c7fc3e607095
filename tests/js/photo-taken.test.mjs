// When a picture was taken, read from files that another library wrote (Pillow).
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import test from 'node:test';

import { exifTaken, whenTaken } from '../../src/tarsus/web/static/shared/photo-taken.js';

const made = JSON.parse(readFileSync(new URL('made/jpeg-times.json', import.meta.url), 'utf8'));
const bytes = (name) => new Uint8Array(Buffer.from(made[name], 'base64'));
const NOW = Date.parse('2026-06-11T07:50:00+01:00'), MINUTE = 60000;

test('the time of a picture is read in both orders of bytes, with its offset where it has one', () => {
  assert.equal(exifTaken(bytes('big_endian_with_offset')), '2026-06-11T07:41:02+01:00');
  assert.equal(exifTaken(bytes('little_endian_without')), '2026-06-11T07:41:02');
});

test('a picture without a time, cut short or of another kind has none', () => {
  assert.equal(exifTaken(bytes('without_exif')), null);
  const whole = bytes('big_endian_with_offset');
  for (let length = 0; length < 170; length += 1) assert.doesNotThrow(() => exifTaken(whole.slice(0, length)));
  const short = whole.slice();
  short.set([0, 4], short.findIndex((byte, at) => byte === 0xff && short[at + 1] === 0xe1) + 2);
  assert.equal(exifTaken(short), null);
  assert.equal(exifTaken(new TextEncoder().encode('\x89PNG\r\n\x1a\n and more of it')), null);
});

test('a picture of the last half hour tells of now, one of before or of later does not', () => {
  const fresh = (minutes) =>
    whenTaken({ exif: new Date(NOW - minutes * MINUTE).toISOString(), modified: NOW, camera: true, now: NOW }).fresh;
  assert.deepEqual([0, 30, 31, -5, -6].map(fresh), [true, true, false, true, false]);
});

test('a picture that does not say when tells of now only from the camera, and just now', () => {
  const told = (camera, minutes) => whenTaken({ exif: null, modified: NOW - minutes * MINUTE, camera, now: NOW });
  assert.deepEqual([told(true, 1).fresh, told(true, 11).fresh, told(false, 1).fresh], [true, false, false]);
  assert.equal(told(false, 1).say, 'The picture does not say when it was taken: it clears nobody now.');
});

test('an old picture is called by its day', () => {
  const { say } = whenTaken({ exif: '2025-09-02T15:00:00', modified: NOW, camera: false, now: NOW });
  assert.equal(say, 'Taken on 2 September 2025: it tells who was there then, and clears nobody now.');
});
