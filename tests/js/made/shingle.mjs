// A small made-up pack for the decisions of the roll call: six avocets of Shingle Aviary, and facts about them.

const bird = (id, name, sex, marks, places = {}, more = {}) => ({
  id,
  name,
  sex,
  species: 'Pied avocet',
  marks,
  flags: {},
  engraving: '',
  natural_marks: [],
  prior: 1,
  places,
  counted: true,
  last_seen: { at: '2026-06-10T16:31:00+01:00', place: 4, how: 'by sight' },
  unseen_days: 0,
  max_unseen_days: 3,
  advice: 'present',
  still_here: 0.998,
  usual: 0.95,
  ...more,
});

// North spit is 4, reed edge is 5. Marks differ between the sides on purpose.
export const BIRDS = [
  bird(11, 'Sedge', 'F', { 'left tibia': ['metal'], 'right tibia': ['yellow', 'green'] }, { 4: 0.7, 5: 0.2 }),
  bird(12, 'Samphire', 'F', { 'left tibia': ['metal'], 'right tibia': ['red', 'white'] }, { 4: 0.9, 5: 0.1 }),
  bird(13, 'Kelp', 'F', { 'left tibia': ['metal'], 'right tibia': ['yellow', 'lime'] }, { 5: 0.8, 4: 0.1 }),
  bird(14, 'Chert', 'M', { 'left tibia': ['yellow', 'green'], 'right tibia': ['metal'] }, { 4: 0.5, 5: 0.4 }),
  bird(15, 'Osier', 'U', { 'left tibia': ['red'], 'right tibia': ['yellow'] }),
  bird(16, 'Bracken', 'U', { 'right tibia': ['blue'] }, { 5: 0.6 }, { counted: false }),
];

export const FLOCK = { lookalike: 'avocet', species: 'Pied avocet', form: 'tall', counted: 5, birds: BIRDS };

export const named = (name) => BIRDS.find((one) => one.name === name);

let made = 0;
/** A fact at so many minutes past half past seven. */
export const fact = (kind, minute, keys = {}) => ({
  id: keys.id || `f${String(made += 1).padStart(4, '0')}`,
  kind,
  at: `2026-06-11T07:${30 + minute}:00.000+01:00`,
  by: 3,
  ...(kind === 'withdrawn' || kind === 'concern' ? {} : { round: 'r1' }),
  ...keys,
});

export const saw = (minute, name, how = 'by sight', keys = {}) =>
  fact('sighting', minute, {
    exhibit: 1,
    bird: name ? named(name).id : null,
    lookalike: 'avocet',
    how: name ? how : null,
    reading: null,
    candidates: [],
    none_of_these: null,
    group: null,
    position: null,
    place: null,
    ...keys,
  });
