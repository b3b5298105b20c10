/* One direction at a time: shown, counted and paced, then a pause in which a tap says that it hurt. */
const footroseRun = (() => {
  const { h, button, fill, length, mass, picture, reduced } = footroseDom;
  const LEAD_S = 3;
  /* A call comes as a surprise: hardly any time between call and movement. */
  const LEAD_CALLED_S = 1;
  const PLACE_S = 10;

  /* Calls `show` for every beat, each as long as it says, then `end`. Gives back how to stop it. */
  function pace(beats, show, end) {
    let at = -1;
    let timer = 0;
    const go = () => {
      at += 1;
      if (at >= beats.length) {
        end();
        return;
      }
      timer = setTimeout(go, beats[at].ms);
      show(beats[at]);
    };
    go();
    return () => clearTimeout(timer);
  }

  /* Moves a share from one value to another in so many milliseconds. */
  function glide(from, to, ms, put) {
    if (reduced()) {
      put(to);
      return () => {};
    }
    const began = performance.now();
    let frame = 0;
    const step = () => {
      const share = Math.min(1, (performance.now() - began) / ms);
      put(from + (to - from) * share);
      if (share < 1) frame = requestAnimationFrame(step);
    };
    step();
    return () => cancelAnimationFrame(frame);
  }

  /* What one direction is called. */
  function way(programme, words, { e, l, c }) {
    const cell = programme.exercises[e].limbs[l].cells[c];
    const direction = words.directions[`b${cell.bearing}`];
    return cell.crossing === "none" ? direction : fill(words.directions[`across_${cell.crossing}`], { direction });
  }

  /* The sentences of one direction: what stays, what goes, how it crosses. */
  function sentences(programme, words, { e, l, c }) {
    const exercise = programme.exercises[e];
    const { mover, cells } = exercise.limbs[l];
    const cell = cells[c];
    const other = footroseFloor.other[mover];
    const crossed = cell.crossing !== "none";
    const said = {
      reach: words.limb.touch[mover], step: words.limb.step[mover], lunge: words.limb.lunge[mover],
      leap: words.limb.leap[mover], two_foot_jump: words.limb.jump, hop: words.limb.hop[mover],
      bend_and_reach: words.limb.hand[mover],
    }[exercise.family];
    return {
      arms: (exercise.limbs[l].arms ?? []).join(" "),
      stays: crossed && cell.pivot === true ? words.limb.turn_on_toes[other]
        : crossed && cell.pivot === false ? words.limb.foot_stays_flat[other] : stays(words, exercise.family, mover),
      go: fill(said, { to: words.toward[`b${cell.bearing}`] }),
      cross: crossed ? words.limb[`cross_${cell.crossing}`] : "",
    };
  }

  /* What stays while this side moves. */
  function stays(words, family, mover) {
    const { limb } = words;
    if (family === "bend_and_reach") return limb.feet_stay;
    if (family === "two_foot_jump") return limb.land_on_both;
    if (family === "hop") return limb.stand_on[mover];
    const other = footroseFloor.other[mover];
    return family === "leap" ? limb.push_off[other] : limb.foot_stays[other];
  }

  function moves(words, family, mover) {
    if (family === "two_foot_jump") return words.page.both_jump;
    return (family === "bend_and_reach" ? words.limb.hand_moves : words.limb.leg_moves)[mover];
  }

  /* How the far point is reached. */
  function arrival(programme, words, e) {
    const { family, depthCm, hand } = programme.exercises[e];
    const { limb } = words;
    if (family === "bend_and_reach") return hand ? limb[`down_to_${hand}`] : limb.bend_as_feels_easy;
    if (family === "lunge" && depthCm) return fill(limb.sink, { length: length(depthCm, programme.units, words.names) });
    return {
      reach: limb.touch_lightly, step: limb.weight_on, lunge: limb.bend_a_little, leap: limb.land,
      two_foot_jump: limb.land_on_both, hop: limb.land,
    }[family];
  }

  /* What the hands and the load ask for, for one moving side. */
  function hands(programme, words, e, mover) {
    const exercise = programme.exercises[e];
    const thing = { bench: "bench", walking_frame: "frame", chair_back: "chair" }[exercise.spot?.kind] ?? "support";
    const other = footroseFloor.other[mover];
    const { both, one, fingertip, near } = words.hands;
    if (exercise.support === "both_hands" || exercise.support === "frame") {
      return [exercise.family === "bend_and_reach" ? one[thing][other] : both[thing]];
    }
    if (exercise.support === "fingertip") return [fingertip[thing][other]];
    if (exercise.support === "none") return exercise.spot ? [near[thing]] : [];
    return [one[thing][other]];
  }

  function load(programme, words, e) {
    const { kind, kg } = programme.exercises[e].load ?? { kind: "none" };
    if (kind === "none") return [];
    const said = { hand_weights: words.hands.weights, in_both_hands: words.hands.both_hands_load }[kind]
      ?? [words.hands.worn_load];
    return said.map((one) => fill(one, { mass: mass(kg, programme.units, words.names) }));
  }

  const twoHands = (exercise) => ["both_hands", "frame", "sticks", "person"].includes(exercise.support);

  /* A general figure is there for the four straight bearings only. */
  const straight = (bearing) => (bearing % 90 === 0 ? bearing : bearing < 180 ? 90 : 270);

  function figure(programme, words, { e, l, c }, kind = "figure") {
    const exercise = programme.exercises[e];
    const { mover, cells } = exercise.limbs[l];
    const drawings = programme.drawings;
    const svg = drawings.figures[`${e}-${l}-${c}`]
      ?? drawings.figures[`${exercise.family}-${mover}-${straight(cells[c].bearing)}`];
    if (!svg) return null;
    const said = sentences(programme, words, { e, l, c });
    return picture(svg, fill(words.page.figure_words, { go: said.go }), kind);
  }

  function floorOf(programme, words, { e, l, c = null, cm = 0 }) {
    const exercise = programme.exercises[e];
    const limb = exercise.limbs[l];
    const note = (cell) => length(cell === limb.cells[c] ? cm : cell.cm, programme.units, words.names);
    const ways = (c === null ? limb.cells : [limb.cells[c]])
      .map((cell) => `${words.directions[`b${cell.bearing}`]} ${note(cell)}`).join("; ");
    return picture(footroseFloor.draw(programme, words, e, l, { shown: c, cm, note }),
      [fill(words.page.floor_words, { moves: moves(words, exercise.family, limb.mover), ways }),
        ...doNotGo(words, limb)].join(" "), "floor");
  }

  /* What stays closed for this person, in words; nothing where nothing does. */
  function doNotGo(words, { closed = [] }) {
    const directions = closed.map((bearing) => words.directions[`b${bearing}`]).join(", ");
    return directions ? [fill(words.sheet.do_not_go, { directions })] : [];
  }

  /* Counts down to when a step begins by itself. */
  function countdown(seconds, put, cues, end) {
    const beats = Array.from({ length: seconds }, (_, k) => ({ left: seconds - k, ms: 1000 }));
    return pace(beats, ({ left }) => {
      put(left);
      if (left <= 3) cues.tick();
    }, end);
  }

  /* Does one direction: `step` as the plan has it, with its rung. Gives back how to stop.
     `on` has tried() after the first time, paused() after the last, then done(), or fine() where it was said to be,
     tap() when it hurt, and what comes next in words. */
  function move(root, { programme, words, cues, settings }, step, rung, on) {
    const exercise = programme.exercises[step.e];
    const cell = exercise.limbs[step.l].cells[step.c];
    const cm = footroseRule.distance(cell.cm, rung);
    const pacing = footroseRule.pace(exercise, cell, rung);
    const said = sentences(programme, words, step);
    const both = twoHands(exercise) || rung === "supported";
    const drawn = floorOf(programme, words, { ...step, cm });
    const big = h("p", { class: "count" });
    const phase = h("p", { class: "phase" });
    const times = h("p", { class: "times" });
    const strip = button(both ? words.page.tap_later : words.page.tap_hurt, (event) => {
      event.stopPropagation();
      tap();
    }, "strip", { "data-hurt": true, "aria-describedby": "go" });
    const cautions = rung === "supported"
      ? [words.page.slow, (exercise.load?.kind ?? "none") === "none" ? "" : words.page.put_down]
      : rung === "shortened" ? [words.page.less] : [];
    let stopBeat = () => {};
    let stopGlide = () => {};
    let over = false;
    const stop = () => {
      over = true;
      stopBeat();
      stopGlide();
      root.removeEventListener("click", anywhere);
      cues.hush();
    };
    const tap = () => {
      if (over) return;
      stop();
      on.tap();
    };
    const anywhere = (event) => {
      if (!event.target.closest("button, a")) tap();
    };
    footroseViews.show(root, "move", way(programme, words, step),
      h("p", { class: "go", id: "go" }, [said.go, said.cross, said.arms].filter(Boolean).join(" ")),
      h("p", { class: "stays" }, said.stays),
      cautions.filter(Boolean).map((one) => h("p", { class: "caution" }, one)),
      drawn, figure(programme, words, step),
      h("div", { class: "pace", "aria-live": "off" }, phase, big, times), strip);
    root.addEventListener("click", anywhere);
    strip.focus({ preventScroll: true });
    const put = (share) => footroseFloor.put(drawn, programme, step.e, step.l, step.c, cm, share);
    const label = (name, count) => {
      phase.textContent = name;
      big.textContent = count;
    };

    const once = (time) => {
      times.textContent = step.reps > 1 ? fill(words.page.turn, { n: time, all: step.reps }) : "";
      const beats = [];
      const add = (name, words_, seconds, from, to, pitch) => {
        for (let k = 0; k < seconds; k += 1) beats.push({ name, words: words_, n: k + 1, of: seconds, from, to, pitch, ms: 1000 });
      };
      add("out", words.page.out, pacing.out, 0, 1, 660);
      add("hold", words.page.hold, pacing.hold, 1, 1, 550);
      add("in", words.page.in, pacing.back, 1, 0, 440);
      stopBeat = pace(beats, (beat) => {
        label(beat.words, String(beat.n));
        const share = (k) => beat.from + (beat.to - beat.from) * (k / beat.of);
        stopGlide();
        stopGlide = reduced() ? (put(beat.name === "in" ? 0 : 1), () => {})
          : glide(share(beat.n - 1), share(beat.n), 1000, put);
        cues.beat(beat);
      }, () => {
        stopGlide();
        put(0);
        if (time === 1) on.tried();
        if (time < step.reps) {
          label(words.page.still, "");
          stopBeat = pace([{ ms: 1500 }], () => {}, () => once(time + 1));
        } else pausing();
      });
    };

    /* The pause after a direction: what it says next, and how long it waits, is the person's choice. */
    const pausing = () => {
      on.paused();
      const wait = both ? 2 : settings().wait;
      label(words.page.still, "");
      times.textContent = on.next;
      if (!both) strip.classList.add("asks");
      cues.settle();
      if (wait > 0) {
        stopBeat = pace([{ ms: wait * 1000 }], () => {}, () => { stop(); on.done(); });
      } else {
        strip.before(button(words.page.fine, () => { stop(); on.fine(); }, "act fine"));
      }
    };

    cues.say([said.go, said.cross, said.arms].filter(Boolean).join(" "));
    stopBeat = countdown(exercise.order === "called" ? LEAD_CALLED_S : LEAD_S, (left) => label("", String(left)), cues, () => once(1));
    return stop;
  }

  /* A limb's turn: who moves, who stays, where the hands go; begins by itself after a while. */
  function limb(root, { programme, words, cues }, step, { heldWays, go }) {
    const exercise = programme.exercises[step.e];
    const { mover } = exercise.limbs[step.l];
    const heading = moves(words, exercise.family, mover);
    const still = stays(words, exercise.family, mover);
    const left = h("p", { class: "count" });
    const stop = countdown(PLACE_S, (seconds) => { left.textContent = String(seconds); }, cues, () => go());
    footroseViews.show(root, "limb", heading,
      h("p", { class: "say" }, still),
      footroseViews.lines([...hands(programme, words, step.e, mover), ...(exercise.limbs[step.l].arms ?? [])]),
      exercise.order === "called" ? h("p", { class: "say" }, words.page.called) : null,
      heldWays.map((one) => h("p", { class: "caution" }, fill(words.page.held, { way: one }))),
      floorOf(programme, words, { e: step.e, l: step.l }),
      doNotGo(words, exercise.limbs[step.l]).map((one) => h("p", { class: "caution" }, one)),
      h("div", { class: "pace" }, left),
      button(words.page.ready, () => { stop(); go(); }, "act"));
    cues.say(`${heading}. ${still}`);
    return stop;
  }

  function rest(root, { words, cues }, seconds, go) {
    const left = h("p", { class: "count" });
    const whole = Math.max(1, Math.ceil(seconds - 1e-6));
    const stop = countdown(whole, (now) => { left.textContent = String(now); }, cues, () => go());
    footroseViews.show(root, "rest", words.page.rest, left,
      button(words.page.skip_rest, () => { stop(); go(); }, "act"));
    return stop;
  }

  return { move, limb, rest, way, moves, hands, load, arrival, figure };
})();
