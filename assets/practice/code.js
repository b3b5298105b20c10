/* What the practice page says to the clinic: the log code, the typed code, and the programme out of an address.

   docs/PRACTICE_CODE.md describes every format; the crate `exchange` writes the same bytes, held together by
   crates/exchange/tests/vectors.json. A prescription is { mark, from, until, a_day, cells } (or a programme of the
   page); a session is { on, nth, pain_before, cells: [[cell, done], ...], stopped, effort, morning }. */
const footroseCode = (() => {
  const BASE41 = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ$*+-/";
  const BASE64 = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
  const TYPED = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
  const LETTERS_AT_MOST = 1542;
  const DAYS_AT_MOST = 14;
  const SESSIONS_AT_MOST = 127;
  const RUNGS = ["whole", "shortened", "supported", "left_out"];
  const SIGNS = ["pain_stays", "swelling", "unsteady", "unwell", "seen_today", "emergency"];
  const FAMILIES = ["reach", "step", "lunge", "leap", "two_foot_jump", "hop", "bend_and_reach"];
  const CROSSINGS = ["none", "in_front", "behind"];

  const dayNumber = (text) => {
    const number = Date.parse(`${text}T00:00:00Z`) / 86_400_000;
    if (!Number.isInteger(number)) throw new RangeError(`"${text}" is no day; a day is written like 2026-11-30`);
    return number;
  };
  const EPOCH = dayNumber("2020-01-01");
  const dayText = (number) => new Date(number * 86_400_000).toISOString().slice(0, 10);
  const markBytes = (mark) => {
    if (!/^[0-9a-f]{16}$/i.test(mark)) throw new RangeError(`"${mark}" is no mark; a mark has 16 hexadecimal digits`);
    return mark.match(/../g).map((two) => parseInt(two, 16));
  };

  function crc32(bytes) {
    let sum = 0xffffffff;
    for (const byte of bytes) {
      sum ^= byte;
      for (let bit = 0; bit < 8; bit += 1) sum = (sum & 1 ? (sum >>> 1) ^ 0xedb88320 : sum >>> 1) >>> 0;
    }
    sum = (sum ^ 0xffffffff) >>> 0;
    return [sum >>> 24, (sum >>> 16) & 255, (sum >>> 8) & 255, sum & 255];
  }

  function base41(bytes) {
    let out = "";
    for (let at = 0; at < bytes.length; at += 2) {
      const pair = at + 1 < bytes.length;
      let value = pair ? bytes[at] * 256 + bytes[at + 1] : bytes[at];
      for (let digit = 0; digit < (pair ? 3 : 2); digit += 1) {
        out += BASE41[value % 41];
        value = Math.floor(value / 41);
      }
    }
    return out;
  }

  /* Arithmetic coding with 31-bit limits; every product stays below 2^53. */
  const HALF = 2 ** 30;
  const QUARTER = 2 ** 29;
  const table = (counts, step) => ({ counts: [...counts], step });
  const flat = (size) => table(new Array(size).fill(1), 0);

  function arithmetic() {
    let low = 0;
    let high = 2 ** 31 - 1;
    let pending = 0;
    const bits = [];
    const emit = (bit) => {
      bits.push(bit);
      for (; pending > 0; pending -= 1) bits.push(1 - bit);
    };
    function code(symbol, of) {
      const { counts, step } = of;
      const sum = counts.reduce((all, count) => all + count, 0);
      const below = counts.slice(0, symbol).reduce((all, count) => all + count, 0);
      const range = high - low + 1;
      high = low + Math.floor((range * (below + counts[symbol])) / sum) - 1;
      low += Math.floor((range * below) / sum);
      for (;;) {
        let taken = 0;
        if (high < HALF) emit(0);
        else if (low >= HALF) {
          emit(1);
          taken = HALF;
        } else if (low >= QUARTER && high < HALF + QUARTER) {
          pending += 1;
          taken = QUARTER;
        } else break;
        low = (low - taken) * 2;
        high = (high - taken) * 2 + 1;
      }
      counts[symbol] += step;
      if (sum + step > 4096) of.counts = counts.map((count) => Math.ceil(count / 2));
    }
    function finish() {
      pending += 1;
      emit(low >= QUARTER ? 1 : 0);
      const bytes = [];
      for (let at = 0; at < bits.length; at += 8) {
        let byte = 0;
        for (let bit = 0; bit < 8; bit += 1) byte = byte * 2 + (bits[at + bit] ?? 0);
        bytes.push(byte);
      }
      while (bytes.at(-1) === 0) bytes.pop();
      return bytes;
    }
    return { code, finish };
  }

  /* What is expected of a session: the same tables as crates/exchange/src/model.rs. */
  const DONE = [[2, 34], [8, 8], [2, 40], [16, 4], [40, 2], [10, 6], [1, 12], [4, 6], [1, 16]];
  const HURT = [[14, 2], [14, 2], [40, 2], [16, 6], [4, 10], [4, 10]];
  const PAIN = [
    [4, 6, 6, 4, 3, 2, 1, 1, 1, 1, 4], [4, 6, 6, 4, 3, 2, 1, 1, 1, 1, 4], [8, 8, 4, 2, 1, 1, 1, 1, 1, 1, 2],
    [2, 4, 8, 8, 6, 3, 1, 1, 1, 1, 2], [1, 1, 2, 3, 5, 6, 6, 4, 2, 2, 2], [1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 24],
  ];
  const painClass = (pain) => (pain === 0 ? 1 : pain <= 2 ? 2 : pain <= 5 ? 3 : pain <= 10 ? 4 : 5);

  function model(learning, cellCount) {
    const as = (counts, step) => (learning ? table(counts, step) : flat(counts.length));
    const answers = () => (learning ? table(new Array(12).fill(2), 8) : flat(12));
    const rungTables = [false, true].flatMap((hurts) => RUNGS.map((_, last) => {
      const counts = [1, 1, 1, 1];
      counts[last] += hurts ? 4 : 16;
      if (hurts && last < 3) counts[last + 1] += 6;
      return as(counts, 12);
    }));
    const gap = as([12, 12, 2, 1, 1, 1, 1, 1], 16);
    const nth = as([12, 10, 1, 1], 16);
    const wide = flat(128);
    const states = flat(49);
    const [before, effort] = [answers(), answers()];
    const morning = as([6, 4, 8, 2, 1, 2, 2, 2, 1, 1, 1, 1, 1, 1, 1], 12);
    const stopped = as([40, 1, 1, 1, 1, 1, 1], 20);
    const done = DONE.map((counts) => as(counts, 20));
    const hurt = HURT.map((counts) => as(counts, 20));
    const pains = PAIN.map((counts) => as(counts, 10));
    const last = Array.from({ length: cellCount }, () => ({ done: 0, pain: 0, rung: 0 }));

    const number = (coder, value, sign, of) => {
      coder.code(Math.min(value, sign), of);
      if (value >= sign) coder.code(value - sign, wide);
    };
    function cell(coder, at, state, previous) {
      coder.code(state ? 1 : 0, done[previous * 3 + last[at].done]);
      last[at].done = state ? 2 : 1;
      if (!state) return;
      const [pain, rung] = state;
      const was = last[at];
      const reduced = was.rung > 0 && was.rung < 3 ? 1 : 0;
      const hurts = pain > 0 ? 1 : 0;
      coder.code(hurts, hurt[(was.pain === 0 ? 0 : was.pain === 1 ? 2 : 4) + reduced]);
      if (hurts) coder.code(pain - 1, pains[was.pain]);
      coder.code(rung, rungTables[hurts * 4 + was.rung]);
      last[at] = { done: 2, pain: painClass(pain), rung };
    }
    return (coder, session) => {
      number(coder, session.gap, 7, gap);
      number(coder, session.nth - 1, 3, nth);
      coder.code(session.before, before);
      let previous = 2;
      session.cells.forEach((state, at) => {
        if (learning) cell(coder, at, state, previous);
        else coder.code(state ? 1 + state[0] * 4 + state[1] : 0, states);
        previous = state ? 0 : 1;
      });
      coder.code(session.stopped, stopped);
      coder.code(session.effort, effort);
      coder.code(session.morning, morning);
    };
  }

  /* A session as numbers, its directions in the order of the prescription. */
  const cellKey = (cell) => [cell.exercise, cell.mover, cell.bearing, cell.crossing, cell.family].join(" ");

  function cellsOf(prescription) {
    if (prescription.cells) return prescription.cells;
    return prescription.exercises.flatMap((exercise, place) => exercise.limbs.flatMap((limb) =>
      limb.cells.map(({ bearing, crossing }) =>
        ({ exercise: place + 1, mover: limb.mover, bearing, crossing, family: exercise.family }))));
  }

  function score(what, value) {
    if (value === null || value === undefined) return 11;
    if (!Number.isInteger(value) || value < 0 || value > 10) throw new RangeError(`${what} is ${value}; accepted: 0 to 10`);
    return value;
  }

  const among = (what, list, value) => {
    const at = list.indexOf(value);
    if (at < 0) throw new RangeError(`${what} is "${value}"; accepted: ${list.join(", ")}`);
    return at;
  };

  function plain(session, keys) {
    const states = new Array(keys.length).fill(null);
    const met = new Set();
    for (const [cell, was] of session.cells) {
      const at = keys.indexOf(cellKey(cell));
      if (at < 0 || met.has(at)) throw new RangeError(`${cellKey(cell)} is no direction of the programme, or stands twice`);
      met.add(at);
      if (was !== "not_done") states[at] = [score("pain", was.done.pain), among("rung", RUNGS, was.done.rung)];
    }
    const { morning, nth } = session;
    if (!Number.isInteger(nth) || nth < 1 || nth > 131) throw new RangeError(`session ${nth} of a day; accepted: 1 to 131`);
    const day = dayNumber(session.on);
    if (day < EPOCH || day > EPOCH + 65_535) throw new RangeError(`the day ${session.on}; accepted: 2020-01-01 to 2199-06-06`);
    return {
      day,
      nth,
      before: score("pain before", session.pain_before),
      effort: score("effort", session.effort),
      morning: !morning ? 0 : morning === "better" ? 1 : morning === "same" ? 2
        : morning.worse === null ? 3 : 4 + score("the morning after", morning.worse),
      stopped: session.stopped ? 1 + among("stop sign", SIGNS, session.stopped) : 0,
      cells: states,
    };
  }

  function written(prescription, sessions, cellCount) {
    const first = sessions.length > 0 ? sessions[0].day : dayNumber(prescription.from);
    const body = (learning) => {
      const [coder, write] = [arithmetic(), model(learning, cellCount)];
      let before = first;
      for (const session of sessions) {
        write(coder, { ...session, gap: session.day - before });
        before = session.day;
      }
      return coder.finish();
    };
    const [fixed, learnt] = [body(false), body(true)];
    const learning = learnt.length <= fixed.length;
    const mark = markBytes(prescription.mark);
    const day = first - EPOCH;
    const bytes = [...mark.slice(0, 4), day >> 8, day & 255, sessions.length | (learning ? 128 : 0)];
    bytes.push(...(learning ? learnt : fixed));
    bytes.push(...crc32([...bytes, ...mark]));
    return `FOOTROSE1/${base41(bytes)}`;
  }

  /* The newest fourteen days of a log as one line of text, or as many of their sessions as one code holds. */
  function encodeLog(prescription, sessions) {
    const keys = cellsOf(prescription).map(cellKey);
    const all = sessions.map((session) => plain(session, keys)).sort((a, b) => a.day - b.day || a.nth - b.nth);
    if (all.some((one, at) => at > 0 && one.day === all[at - 1].day && one.nth === all[at - 1].nth)) {
      throw new RangeError("a session stands twice; accepted: each once");
    }
    const last = all.at(-1)?.day ?? 0;
    let kept = all.filter((one) => last - one.day < DAYS_AT_MOST).slice(-SESSIONS_AT_MOST);
    for (;;) {
      const text = written(prescription, kept, keys.length);
      if (text.length <= LETTERS_AT_MOST || kept.length === 0) return text;
      kept = kept.slice(1);
    }
  }

  /* Reed-Solomon over the field of 32: twelve values and four checks. */
  const POWERS = [1];
  while (POWERS.length < 31) POWERS.push((POWERS.at(-1) << 1) ^ (POWERS.at(-1) & 16 ? 0b100101 : 0));
  const times = (a, b) => (a && b ? POWERS[(POWERS.indexOf(a) + POWERS.indexOf(b)) % 31] : 0);

  function protect(data) {
    let generator = [1];
    for (let power = 1; power <= 4; power += 1) {
      const shifted = [...generator, 0];
      generator = shifted.map((part, at) => part ^ (at > 0 ? times(generator[at - 1], POWERS[power]) : 0));
    }
    const rest = [...data, 0, 0, 0, 0];
    for (let at = 0; at < 12; at += 1) {
      const factor = rest[at];
      generator.forEach((part, step) => {
        rest[at + step] ^= times(factor, part);
      });
    }
    return [...data, ...rest.slice(12)];
  }

  /* Sixteen characters to read over the telephone, in fours: what was done and what hurt in the newest fourteen days. */
  function typed(prescription, sessions) {
    const cells = cellsOf(prescription);
    const keys = cells.map(cellKey);
    const all = sessions.map((session) => plain(session, keys));
    const from = dayNumber(prescription.from);
    const last = all.reduce((most, one) => Math.max(most, one.day), all.length > 0 ? -Infinity : from);
    const worst = new Array(16).fill(0);
    let count = 0;
    let stopped = 0;
    for (const session of all.filter((one) => last - one.day < DAYS_AT_MOST)) {
      session.cells.forEach((state, at) => {
        if (!state) return;
        const [pain, rung] = state;
        const level = rung === 3 ? 3 : pain === 0 ? 0 : pain <= 2 ? 1 : pain <= 5 || pain === 11 ? 2 : 3;
        const place = (cells[at].mover === "left" ? 0 : 8) + cells[at].bearing / 45;
        worst[place] = Math.max(worst[place], level);
      });
      if (session.cells.some(Boolean)) count += 1;
      if (session.stopped) stopped = 1;
    }
    const mark = markBytes(prescription.mark);
    const bits = [];
    const put = (value, width) => {
      for (let at = width - 1; at >= 0; at -= 1) bits.push((value >> at) & 1);
    };
    put(1, 4);
    put((mark[0] << 4) | (mark[1] >> 4), 12);
    put(Math.min(63, Math.max(0, last - from)), 6);
    put(Math.min(31, count), 5);
    worst.forEach((level) => put(level, 2));
    put(stopped, 1);
    const data = [];
    for (let at = 0; at < 60; at += 5) data.push(bits.slice(at, at + 5).reduce((value, bit) => value * 2 + bit, 0));
    return protect(data).map((value) => TYPED[value]).join("").match(/..../g).join("-");
  }

  /* The programme in the fragment of an address. */
  function programmeFromFragment(text) {
    const damaged = () => new RangeError("this address is damaged or incomplete; scan it again");
    const bits = [...text.trim().replace(/^#/, "")].flatMap((letter) => {
      const value = BASE64.indexOf(letter);
      if (value < 0) throw damaged();
      return [5, 4, 3, 2, 1, 0].map((at) => (value >> at) & 1);
    });
    const bytes = [];
    for (let at = 0; at + 8 <= bits.length; at += 8) {
      bytes.push(bits.slice(at, at + 8).reduce((value, bit) => value * 2 + bit, 0));
    }
    const spare = bits.slice(bytes.length * 8);
    if (bytes.length < 5 || spare.length > 4 || spare.some(Boolean)) throw damaged();
    if (crc32(bytes.slice(0, -4)).some((byte, at) => byte !== bytes[bytes.length - 4 + at])) throw damaged();
    let at = 0;
    const end = (bytes.length - 4) * 8;
    const take = (width) => {
      if (at + width > end) throw damaged();
      let value = 0;
      for (const stop = at + width; at < stop; at += 1) value = value * 2 + bits[at];
      return value;
    };
    const one = (list, width) => list[take(width)] ?? (() => { throw damaged(); })();
    const maybe = (read) => (take(1) ? read() : undefined);
    const list = (count, read) => Array.from({ length: count }, read);
    const tenths = (width = 10) => take(width) / 10;
    const known = (of) => Object.fromEntries(Object.entries(of).filter(([, value]) => value !== undefined));

    if (take(4) !== 1) throw new RangeError("this address is newer than this page; reload the page");
    const mark = list(8, () => take(8).toString(16).padStart(2, "0")).join("");
    const first = EPOCH + take(16);
    const [from, until] = [dayText(first), dayText(first + take(10))];
    const aDay = take(3);
    const minutes = maybe(() => take(7));
    const [lang, units] = [one(["en", "fr", "es"], 2), one(["metric", "imperial"], 1)];
    const target = () => {
      const out = { bearing: take(3) * 45, crossing: one(CROSSINGS, 2), cm: take(10) / 2 };
      out.yaw = maybe(() => take(9) - 256);
      const pivot = take(2);
      if (pivot === 1) throw damaged();
      out.pivot = pivot === 0 ? undefined : pivot === 3;
      out.outS = maybe(tenths);
      out.backS = maybe(tenths);
      return known(out);
    };
    const exercise = () => {
      const out = { family: one(FAMILIES, 3), order: one(["round", "reverse", "called"], 2), seed: take(32) };
      Object.assign(out, { rounds: take(6), reps: take(6), outS: tenths(), holdS: tenths(), backS: tenths() });
      out.restS = tenths(13);
      out.support = one(["none", "fingertip", "one_hand", "both_hands", "frame", "sticks", "fixed", "person"], 3);
      out.load = { kind: one(["none", "hand_weights", "in_both_hands", "on_trunk"], 2), kg: tenths() };
      out.days = one(["daily", "alternate", "2_week", "3_week"], 2);
      out.depthCm = maybe(() => take(8) / 2);
      out.hand = maybe(() => one(["thigh", "knee", "shin", "ankle"], 2));
      out.spot = maybe(() => {
        const kind = one(["bench", "walking_frame", "chair_back"], 2);
        const [a, b, c, d] = list(4, () => take(10) - 512);
        return { kind, front: [a, b], right: [c, d] };
      });
      out.limbs = list(take(2), () => ({ mover: one(["left", "right"], 1), cells: list(take(4), target) }));
      return known(out);
    };
    const exercises = list(take(2), exercise);
    if (end - at > 7 || bits.slice(at, end).some(Boolean)) throw damaged();
    return known({ v: 1, mark, from, until, aDay, lang, units, person: "", general: true, minutes, exercises });
  }

  return { encodeLog, typed, programmeFromFragment };
})();
