/* In which order directions are asked for: round, the other way, or called in a balanced order by chance. */
const footroseOrder = (() => {
  /* Numbers from 0 to below 1 that follow from a seed: a 32-bit mixing counter. */
  function chance(seed) {
    let state = seed >>> 0;
    return () => {
      state = (state + 0x6d2b79f5) >>> 0;
      let mixed = state;
      mixed = Math.imul(mixed ^ (mixed >>> 15), mixed | 1);
      mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
      return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
    };
  }

  function shuffled(list, next) {
    const out = [...list];
    for (let at = out.length - 1; at > 0; at -= 1) {
      const other = Math.floor(next() * (at + 1));
      [out[at], out[other]] = [out[other], out[at]];
    }
    return out;
  }

  /* The rows of a square that is balanced for what comes before (Williams 1949, from memory): every direction
     once in a row, at every place equally often, and after every other one equally often over all rows. An odd
     number of directions needs the rows backwards too. */
  function rows(count, next) {
    if (count === 1) return [[0]];
    const names = shuffled([...Array(count).keys()], next);
    const first = [0];
    for (let low = 1, high = count - 1; first.length < count;) {
      first.push(low);
      low += 1;
      if (first.length < count) {
        first.push(high);
        high -= 1;
      }
    }
    const square = names.map((_, shift) => first.map((place) => names[(place + shift) % count]));
    return count % 2 === 0 ? square : [...square, ...square.map((row) => [...row].reverse())];
  }

  /* One list of calls for each round: every direction `times` times in each, none twice in a row. */
  function called(count, times, rounds, seed) {
    const next = chance(seed);
    let pool = [];
    const take = (last) => {
      let at = pool.findIndex((row) => row[0] !== last);
      if (at < 0) {
        pool = [...pool, ...shuffled(rows(count, next), next)];
        at = pool.findIndex((row) => row[0] !== last);
      }
      return pool.splice(Math.max(at, 0), 1)[0];
    };
    return Array.from({ length: rounds }, () => {
      const round = [];
      for (let time = 0; time < times; time += 1) round.push(...take(count > 1 ? round.at(-1) : undefined));
      return round;
    });
  }

  /* The calls of every round of one limb: places in its list of directions. In a fixed order a direction is
     done `reps` times before the next; called, each call is one time. `turn` counts the sessions, so that
     no two of them are called alike. */
  function rounds(exercise, limb, place, turn) {
    const count = limb.cells.length;
    const listed = [...Array(count).keys()];
    if (exercise.order === "called") {
      const seed = (exercise.seed + Math.imul(place + 1, 0x9e3779b1) + Math.imul(turn, 0x85ebca6b)) >>> 0;
      return called(count, exercise.reps, exercise.rounds, seed)
        .map((round) => round.map((cell) => ({ cell, reps: 1 })));
    }
    if (exercise.order === "reverse") listed.reverse();
    return Array.from({ length: exercise.rounds }, () => listed.map((cell) => ({ cell, reps: exercise.reps })));
  }

  return { called, rounds };
})();
