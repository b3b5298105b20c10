/* What the page may do with an answer: the pain rule of one person, which only ever makes a direction easier.
   Strict, unless an order accepts some pain for this person: { upTo, until, safe }, of 10, to a day.

   A session here is { on, nth, before, tries, stopped, effort, morning, ended }; a try is
   { cell, rung, said, pain } with `said` one of "hurt", "fine", "unknown" (asked, and not remembered) or null
   (not asked yet), and `pain` 1 to 10 or null. Cells are counted through the whole programme. */
const footroseRule = (() => {
  const RUNGS = ["whole", "shortened", "supported", "left_out"];
  /* The same figures as reference/safety_margins.toml and reference/dose.toml; a test compares them. */
  const FACTORS = { whole: 1, shortened: 0.75, supported: 0.5, left_out: 0 };
  const SLOWER_TIMES = 1.5;
  const BACK_OFF_FROM = 2;
  /* Pain that counts as high where irritability is judged (Kelley 2013, from memory): no start without a word
     of the therapist. */
  const STRONG = 7;

  const worse = (a, b) => (RUNGS.indexOf(a) >= RUNGS.indexOf(b) ? a : b);
  const next = (rung) => RUNGS[Math.min(RUNGS.indexOf(rung) + 1, RUNGS.length - 1)];

  /* Where one try leaves its direction. An answer that never came, or is not remembered, is not "no pain":
     the direction is shortened once, and not left out for it. */
  function after(attempt) {
    if (attempt.said === "hurt") return next(attempt.rung);
    if (attempt.said === "fine") return attempt.rung;
    return worse(attempt.rung, "shortened");
  }

  const isWorse = (session) => session.morning !== null && typeof session.morning === "object";

  /* What is accepted on a day; null where the strict rule holds. */
  const accepted = (pain, on) => (pain && on <= pain.until ? pain : null);

  /* Whether a try stayed within what is accepted. Without a number nobody knows. */
  const within = (one, limit) => Boolean(limit) && one.said === "hurt" && one.pain !== null && one.pain <= limit.upTo;

  /* The directions that hurt so that it counts. */
  function hurtCells(session, pain = null) {
    const limit = accepted(pain, session.on);
    return new Set(session.tries.filter((one) => one.said === "hurt" && !within(one, limit)).map((one) => one.cell));
  }

  /* Whether accepted pain has settled by the next morning. A worse morning says no; where nobody said, though the
     next day is there, only a little pain is safe. */
  function settled(one, session, earlier, limit, today) {
    const mornings = earlier.filter((other) => other.on === session.on && other.morning !== null);
    if (mornings.some(isWorse)) return false;
    return mornings.length > 0 || one.pain <= limit.safe || session.on >= today;
  }

  /* The rung on which each direction begins: nothing that an earlier session made easier is made harder here. */
  function starting(count, earlier, pain = null, today = "") {
    const rungs = Array(count).fill("whole");
    for (const session of earlier) {
      const limit = accepted(pain, session.on);
      const kept = (one) => within(one, limit) && settled(one, session, earlier, limit, today);
      for (const one of session.tries) rungs[one.cell] = worse(rungs[one.cell], kept(one) ? one.rung : after(one));
      const counts = new Set(session.tries.filter((one) => one.said === "hurt" && !kept(one)).map((one) => one.cell));
      if (isWorse(session) || counts.size >= BACK_OFF_FROM) {
        for (let cell = 0; cell < count; cell += 1) rungs[cell] = worse(rungs[cell], "shortened");
      }
    }
    return rungs;
  }

  /* The rung of one direction now: an answer of this session counts at once, a question still open does not. */
  function current(cell, start, session, pain = null) {
    const limit = accepted(pain, session.on);
    return session.tries
      .filter((one) => one.cell === cell && one.said === "hurt" && !within(one, limit))
      .reduce((rung, one) => worse(rung, after(one)), start);
  }

  /* Whole centimetres, never further than the rule says. */
  const distance = (cm, rung) => Math.floor(cm * FACTORS[rung] + 1e-9);

  /* Whole seconds, never faster than the rule says; a direction may have its own, slower pace. */
  function pace(exercise, cell, rung) {
    const times = rung === "supported" ? SLOWER_TIMES : 1;
    const up = (seconds) => Math.max(0, Math.ceil(seconds - 1e-6));
    return {
      out: Math.max(1, up((cell.outS ?? exercise.outS) * times)),
      hold: up(exercise.holdS),
      back: Math.max(1, up((cell.backS ?? exercise.backS) * times)),
    };
  }

  /* One session as the clinic reads it. Pain is 0 only where every time was said to be fine. */
  function logged(session, cells, start, pain = null) {
    const done = [];
    cells.forEach((cell, at) => {
      const tries = session.tries.filter((one) => one.cell === at);
      if (tries.length === 0) return;
      const numbers = tries.map((one) => one.pain).filter((pain) => pain !== null);
      const fine = tries.every((one) => one.said === "fine");
      const ended = current(at, start[at], session, pain);
      const last = tries.at(-1).rung;
      done.push([cell, {
        done: {
          pain: fine ? 0 : numbers.length > 0 ? Math.max(...numbers) : null,
          rung: ended === "left_out" ? "left_out" : last,
        },
      }]);
    });
    return {
      on: session.on, nth: session.nth, pain_before: session.before, cells: done,
      stopped: session.stopped, effort: session.effort, morning: session.morning,
    };
  }

  /* Whether an exercise is due today, given the days on which something of it was done. */
  function due(days, on, today) {
    const gap = (from, to) => Math.round((Date.parse(to) - Date.parse(from)) / 86_400_000);
    const past = [...new Set(on)].filter((day) => day < today);
    if (days === "daily") return true;
    if (past.some((day) => gap(day, today) <= 1)) return false;
    const most = days === "2_week" ? 2 : days === "3_week" ? 3 : Infinity;
    return past.filter((day) => gap(day, today) < 7).length < most;
  }

  return {
    RUNGS, FACTORS, SLOWER_TIMES, BACK_OFF_FROM, STRONG,
    next, after, accepted, within, starting, current, distance, pace, logged, due, hurtCells, isWorse,
  };
})();
