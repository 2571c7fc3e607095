// @ts-check
// On how many independent looks the sighting of a bird rests. The twin of core/presence/witnesses.py;
// tests/published/witness_cases.json.

/** Independent readings that take a standing alarm back; a person's own eye counts as so many. */
export const CLEARS = 2;

/** Two readings of one person are two looks when so many minutes lie between them. */
export const APART_MINUTES = 30;

/** How many independent looks there are among those that named one bird, each of them sure of its name.
 * A photograph counts for none: one model reads them all and errs alike in all of them.
 * @param {{at: number, by: number, known: boolean, photographed?: boolean}[]} looks  in any order; at in milliseconds,
 * known by sight
 * @returns {number} */
export function witnesses(looks) {
  if (looks.some(({ known }) => known)) return CLEARS;
  /** @type {{at: number, by: number}[]} */
  const counted = [];
  for (const look of looks.filter(({ photographed }) => !photographed).sort((a, b) => a.at - b.at || a.by - b.by)) {
    if (counted.every((other) => other.by !== look.by || look.at - other.at >= APART_MINUTES * 60000))
      counted.push(look);
  }
  return counted.length;
}
