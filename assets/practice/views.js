/* Screens that wait for an answer: each is one question, or one thing to read. */
const footroseViews = (() => {
  const { h, button, fill } = footroseDom;

  /* Puts one screen on the page: what it is called goes first and gets the focus. */
  function show(root, kind, heading, ...content) {
    const title = h("h1", { tabindex: "-1" }, heading);
    root.className = kind;
    root.replaceChildren(title, ...content.flat(2).filter(Boolean));
    window.scrollTo(0, 0);
    title.focus({ preventScroll: true });
    return title;
  }

  const lines = (sentences, kind = "say") => sentences.filter(Boolean).map((one) => h("p", { class: kind }, one));

  const list = (sentences) => h("ul", {}, sentences.map((one) => h("li", {}, one)));

  /* Eleven buttons, 0 to 10; from 1 where 0 makes no sense. */
  function numbers(from, ends, answer) {
    return [
      h("div", { class: "numbers", role: "group" }, Array.from({ length: 11 - from }, (_, k) =>
        button(String(k + from), () => answer(k + from)))),
      h("div", { class: "ends" }, ends.map((one) => h("span", {}, one))),
    ];
  }

  /* Whom to call, with what the clinic has written; never a guess. */
  function contacts(programme, words, emergency = false) {
    const all = programme.contacts ?? [];
    const said = (emergency ? all.slice(0, 1) : all).map(({ label, value }) => {
      const digits = value && value.replace(/[^\d+]/g, "");
      const shown = value
        ? (digits && digits.length > 2 ? h("a", { href: `tel:${digits}` }, value) : value)
        : words.page.not_written;
      return [h("dt", {}, label), h("dd", {}, shown)];
    });
    return [
      h("h2", {}, words.page.whom),
      emergency ? null : list(programme.operated ? words.call.operated : words.call.others),
      said.length > 0 ? h("dl", {}, said) : null,
    ].filter(Boolean);
  }

  function emergencyNumber(programme) {
    const value = programme.emergency;
    const digits = value && value.replace(/[^\d+]/g, "");
    return { value, digits };
  }

  /* The stop signs: the gravest first. `chosen` gets the key of the sign. */
  function signs(root, programme, words, { chosen, close }) {
    const { stop, seen_today: seen, emergency } = words;
    const { value } = emergencyNumber(programme);
    const parts = [
      h("section", { class: "grave" },
        h("h2", {}, value ? fill(emergency.title_number, { number: value }) : emergency.title),
        list([
          ...(programme.newHip ? [emergency.new_hip] : []),
          ...(programme.newJoint ? [emergency.new_joint] : []),
          ...emergency.sentences,
        ]),
        button(words.page.one_of_these, () => chosen("emergency"), "act", { "data-sign": "emergency" })),
      h("section", {},
        h("h2", {}, seen.title),
        list([...(programme.operated ? [seen.operated] : []), ...seen.sentences]),
        button(words.page.one_of_these, () => chosen("seen_today"), "act", { "data-sign": "seen_today" })),
      h("section", {},
        h("h2", {}, stop.title),
        h("div", { class: "stack" }, ["pain_stays", "swelling", "unsteady", "unwell"].map((key) =>
          button(stop[key], () => chosen(key), "", { "data-sign": key })))),
    ];
    show(root, "signs", words.page.signs, button(words.page.close, close, "quiet close"), parts);
  }

  /* What to do after a sign. */
  function stopped(root, programme, words, sign, { mistake, close }) {
    const { value, digits } = emergencyNumber(programme);
    const page = words.page;
    const heading = sign === "emergency"
      ? (value ? fill(page.call_now, { number: value }) : page.call_unknown)
      : sign === "seen_today" ? page.see_today : page.stop_now;
    show(root, `stopped ${sign}`, heading,
      sign === "emergency" && digits ? h("a", { class: "act call", href: `tel:${digits}` }, value) : null,
      lines(sign === "emergency" ? [page.sit] : [page.stop_day]),
      contacts(programme, words, sign === "emergency"),
      h("div", { class: "stack" },
        button(page.close, close, "quiet"),
        button(page.mistake, mistake, "quiet")));
  }

  /* The floor as buttons, to tap what hurt. `limb` has { e, l, cells: [{ c, cell, words }] }. */
  function mark(root, programme, words, limb, { marked, more, done }) {
    const exercise = programme.exercises[limb.e];
    const { mover } = exercise.limbs[limb.l];
    const asked = exercise.family === "two_foot_jump" ? words.page.which_both
      : (exercise.family === "bend_and_reach" ? words.limb.hand_hurt : words.limb.leg_hurt)[mover];
    const drawn = footroseDom.picture(footroseFloor.draw(programme, words, limb.e, limb.l), words.page.above, "under");
    const finish = button(words.page.that_is_all, done, "act");
    const grid = h("div", { class: "rose" }, drawn, limb.cells.map(({ c, cell, words: way }) => {
      const { bearing } = exercise.limbs[limb.l].cells[c];
      const one = button("", () => {
        const now = !marked.has(cell);
        if (now) marked.add(cell); else marked.delete(cell);
        one.setAttribute("aria-pressed", String(now));
        state.textContent = now ? words.page.hurts : "";
      }, `way b${bearing}`, { "aria-pressed": String(marked.has(cell)), "data-cell": cell });
      const state = h("span", { class: "state" }, marked.has(cell) ? words.page.hurts : "");
      one.append(h("span", {}, way), state);
      return one;
    }));
    // Two ways on one bearing, in front and behind, share a place and stand one above the other.
    for (const bearing of new Set(limb.cells.map(({ c }) => exercise.limbs[limb.l].cells[c].bearing))) {
      const same = [...grid.querySelectorAll(`.way.b${bearing}`)];
      if (same.length > 1) same[0].before(h("div", { class: `pair b${bearing}` }, same));
    }
    show(root, "mark", asked, more ?? null, grid, finish);
  }

  return { show, lines, list, numbers, contacts, signs, stopped, mark };
})();
