/*
 * Groups of numbers that were joined (union-find, the lower number leading, paths halved on the way). Used for shells and for regions of
 * triangles. `leader` holds for each number one of its group that is not higher, at first itself.
 */

/** Joins the groups of two numbers. */
export function join(leader: Uint32Array, one: number, other: number): void {
  if (leader[one] === leader[other]) return;
  const first = leading(leader, one);
  const second = leading(leader, other);
  if (first < second) leader[second] = first;
  else leader[first] = second;
}

function leading(leader: Uint32Array, each: number): number {
  let at = each;
  while (leader[at] !== at) {
    leader[at] = leader[leader[at]!]!;
    at = leader[at]!;
  }
  return at;
}
