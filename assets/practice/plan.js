/* A session as a list of steps, one thing at a time; the same list every time it is made. */
const footrosePlan = (() => {
  /* Every direction of a programme in its order, as the clinic names it. */
  function cells(programme) {
    return programme.exercises.flatMap((exercise, place) =>
      exercise.limbs.flatMap((limb) =>
        limb.cells.map((cell) => ({
          exercise: place + 1, mover: limb.mover, bearing: cell.bearing, crossing: cell.crossing,
          family: exercise.family,
        }))));
  }

  /* Where the directions of an exercise's limb begin in that list. */
  function first(programme, exercise, limb) {
    let at = 0;
    for (let e = 0; e < exercise; e += 1) {
      for (const one of programme.exercises[e].limbs) at += one.cells.length;
    }
    for (let l = 0; l < limb; l += 1) at += programme.exercises[exercise].limbs[l].cells.length;
    return at;
  }

  /* The steps of one session for the exercises that are due (places, from 0). `held` are directions that were
     left out in an earlier session; `turn` counts the sessions. */
  function steps(programme, due, held, turn) {
    const out = [];
    due.forEach((e) => {
      const exercise = programme.exercises[e];
      const open = exercise.limbs
        .map((limb, l) => ({ l, at: first(programme, e, l), limb }))
        .filter(({ at, limb }) => limb.cells.some((_, c) => !held.has(at + c)));
      if (open.length === 0) return;
      out.push({ kind: "exercise", e });
      const orders = open.map(({ l, limb }) => footroseOrder.rounds(exercise, limb, e * 2 + l, turn));
      for (let r = 0; r < exercise.rounds; r += 1) {
        open.forEach(({ l, at }, o) => {
          out.push({ kind: "limb", e, l, r });
          for (const { cell, reps } of orders[o][r]) {
            if (!held.has(at + cell)) out.push({ kind: "move", e, l, r, c: cell, cell: at + cell, reps });
          }
        });
        out.push({ kind: "ask", e, r });
        if (r + 1 < exercise.rounds) out.push({ kind: "rest", e, r, seconds: exercise.restS });
      }
    });
    out.push({ kind: "effort" }, { kind: "finished" });
    return out;
  }

  return { cells, first, steps };
})();
