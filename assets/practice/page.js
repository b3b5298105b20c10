/* The practice page: what is known of this programme and its log, and which screen comes next. */
const footrosePage = (() => {
  const { h, button, fill, counted, length, picture, today, day } = footroseDom;
  const views = footroseViews;
  const run = footroseRun;

  function begin(programme, words, store) {
    const root = document.querySelector("main");
    const bar = document.querySelector("header");
    const page = words.page;
    const cells = footrosePlan.cells(programme);
    const kept = footroseKeep.open(store.name, store.key);
    const all = programme.exercises.map((_, e) => e);
    let log = { v: 1, sessions: [], open: null, rest: null, settings: { beep: true, voice: true, buzz: true, wait: 4 } };
    let can = true;
    let unreadable = false;
    let stop = () => {};
    let resume = null;
    let erased = null;

    document.title = words.sheet.title;
    document.documentElement.lang = programme.lang;

    /* ---- keeping ---- */
    const save = () => kept.save(log).then((done) => { can = done; });

    /* ---- cues ---- */
    const cues = {
      tick: () => log.settings.beep && footroseCue.beep(880, 0.06),
      settle: () => log.settings.beep && footroseCue.beep(330, 0.3),
      beat(beat) {
        if (log.settings.beep) footroseCue.beep({ out: 660, hold: 550, in: 440 }[beat.name], beat.n === 1 ? 0.22 : 0.09);
        if (log.settings.buzz && beat.n === 1) footroseCue.buzz(beat.name === "in" ? [60, 60, 60] : 90);
      },
      say: (sentence) => log.settings.voice && footroseCue.say(sentence, programme.lang),
      hush: () => footroseCue.hush(),
    };
    const tools = { programme, words, cues, settings: () => log.settings };

    /* ---- what the log says ---- */
    const ended = () => log.sessions;
    /* The pain that an order accepts on a day; the strict rule on every other. */
    const accepted = (on) => footroseRule.accepted(programme.acceptedPain, on);
    const of = (on) => ended().filter((session) => session.on === on);
    /* Where each direction began in a session: what the sessions before it left. */
    const rungs = (session) => {
      const place = ended().indexOf(session);
      const earlier = place < 0 ? ended() : ended().slice(0, place);
      return footroseRule.starting(cells.length, earlier, programme.acceptedPain, session.on);
    };
    const held = () => new Set(footroseRule.starting(cells.length, ended(), programme.acceptedPain, today())
      .flatMap((rung, cell) => (rung === "left_out" ? [cell] : [])));
    const doneOn = (e) => ended()
      .filter((session) => session.tries.some((one) => cells[one.cell].exercise === e + 1))
      .map((session) => session.on);
    const dueToday = (now) => all.filter((e) => footroseRule.due(programme.exercises[e].days, doneOn(e), now));
    const unsaid = (session) => session.tries.filter((one) => one.said === null);
    const openQuestion = () => [...ended()].reverse().find((session) => unsaid(session).length > 0);

    /* ---- the bar ---- */
    function barOf(...buttons) {
      bar.replaceChildren(...buttons.filter(Boolean),
        button(page.signs, () => signs(), "stop-signs"));
    }
    const quietBar = () => barOf();
    const busyBar = (where) => barOf(h("p", { class: "where" }, where), button(page.pause, pause, "pause"));

    function leave() {
      stop();
      stop = () => {};
    }

    /* ---- home ---- */
    function standing(now) {
      if (now > programme.until) {
        return [fill(page.over, { date: day(programme.until, words.names) }), page.over_do, page.over_log];
      }
      if (now < programme.from) return [fill(page.early, { date: day(programme.from, words.names) }), page.early_do];
      if (of(now).some((session) => session.stopped)) return [page.stopped_today];
      if (log.rest === now) return [page.resting];
      if (of(now).length >= programme.aDay) return [page.enough, page.tomorrow];
      const due = dueToday(now);
      if (due.length === 0) return [page.all_rest];
      const out = held();
      const open = due.some((e) => programme.exercises[e].limbs.some((limb, l) =>
        limb.cells.some((_, c) => !out.has(footrosePlan.first(programme, e, l) + c))));
      return open ? null : [page.all_left_out];
    }

    function home(note) {
      leave();
      resume = null;
      footroseCue.stayOn(false);
      quietBar();
      const now = today();
      if (log.open && log.open.session.on !== now) close(log.open.session);
      const why = log.open ? null : standing(now);
      const calls = now > programme.until || (why ?? []).includes(page.all_left_out);
      const due = dueToday(now);
      const count = programme.exercises.length;
      views.show(root, "home", words.sheet.title,
        note ? h("p", { class: "note", role: "status" }, note) : null,
        programme.invented ? h("p", { class: "small" }, words.sheet.invented) : null,
        programme.person ? h("p", { class: "for" }, fill(page.for_name, { name: programme.person })) : null,
        log.open
          ? [h("p", { class: "say" }, page.middle),
            button(page.where_stopped, () => { unlock(); goOn(); }, "act start"),
            button(page.end, () => { unlock(); finish(); }, "")]
          : why
            ? [...views.lines(why, "standing"), calls ? views.contacts(programme, words) : null].flat()
            : button(page.start, () => { unlock(); start(); }, "act start"),
        !why && !log.open ? views.lines([
          [
            counted(count, words.dose.exercises),
            programme.minutes ? counted(programme.minutes, words.dose.minutes_in_all) : "",
            counted(programme.aDay, words.dose.times_a_day),
          ].filter(Boolean).map((one) => `${one}.`).join(" "),
          `${fill(words.sheet.use_until, { date: day(programme.until, words.names) })} ${words.sheet.then_call}`,
          ...all.filter((e) => !due.includes(e))
            .map((e) => fill(page.rest_day, { title: words.families[programme.exercises[e].family] })),
          page.prop, footroseCue.canStayOn() ? "" : page.awake,
        ]) : null,
        !can ? h("p", { class: "caution" }, page.no_store) : null,
        unreadable ? h("p", { class: "caution" }, page.no_read) : null,
        h("div", { class: "stack" },
          button(page.code, code),
          button(page.log, logScreen),
          button(words.before.title, before),
          button(page.settings, settings)),
        h("p", { class: "small" }, words.sheet.authority.join(" ")),
        h("p", { class: "small" }, programme.general ? page.general : words.sheet.estimate));
    }

    /* What this person keeps to, with the pain that an order accepts as long as it does. */
    function keepTo() {
      const pain = accepted(today());
      const rule = pain ? [{ title: page.pain_rule, sentences: pain.rule }] : [];
      return [...(programme.rules ?? []), ...rule];
    }

    function unlock() {
      footroseCue.unlock();
      footroseCue.stayOn(true);
    }

    function before() {
      quietBar();
      const rules = programme.general
        ? [h("p", { class: "say" }, page.rules_sheet)]
        : keepTo().map(({ title, sentences }) => [h("h2", {}, title), views.list(sentences)]);
      views.show(root, "read", words.before.title, rules.flat(), views.list(words.before.sentences),
        h("h2", {}, words.next_day.title), views.list(words.next_day.sentences),
        views.contacts(programme, words), button(page.back, () => home(), "act"));
    }

    /* ---- the questions before a session ---- */
    function start() {
      const grave = [...ended()].reverse().find((one) => ["seen_today", "emergency"].includes(one.stopped));
      if (grave && !grave.cleared) {
        cleared(grave);
        return;
      }
      const open = openQuestion();
      if (open) {
        askSession(open, page.last_time, true, start);
        return;
      }
      const now = today();
      const last = ended().filter((session) => session.tries.length > 0).at(-1);
      if (last && last.on < now && last.morning === null && !last.morningAsked) morning(last);
      else if (!programme.general && keepTo().length > 0 && ended().length === 0) readRules();
      else painNow();
    }

    function readRules() {
      views.show(root, "read", page.rules,
        keepTo().flatMap(({ title, sentences }) => [h("h2", {}, title), views.list(sentences)]),
        button(page.go_on, painNow, "act"));
    }

    function cleared(session) {
      quietBar();
      views.show(root, "ask", page.sign_before, h("p", { class: "say" }, page.sign_ask),
        h("div", { class: "stack" },
          button(page.sign_yes, () => { session.cleared = true; save(); start(); }, "act"),
          button(page.sign_no, () => {
            views.show(root, "read", page.sign_no_do, views.contacts(programme, words),
              button(page.close, () => home(), "act"));
          }, "act")));
    }

    function morning(session) {
      quietBar();
      const answer = (value) => {
        session.morning = value;
        session.morningAsked = true;
        save();
        if (!footroseRule.isWorse(session)) {
          start();
          return;
        }
        const yesterday = Math.round((Date.parse(today()) - Date.parse(session.on)) / 86_400_000) <= 1;
        if (yesterday) {
          log.rest = today();
          save();
        }
        views.show(root, "read", yesterday ? page.worse_rest : page.worse_less,
          yesterday ? views.contacts(programme, words) : null,
          button(yesterday ? page.close : page.go_on, () => (yesterday ? home() : start()), "act"));
      };
      const byHowMuch = () => views.show(root, "ask", page.worse_by, h("p", { class: "say" }, page.tap_number),
        views.numbers(1, [], (points) => answer({ worse: points })),
        button(page.no_number, () => answer({ worse: null }), ""));
      views.show(root, "ask", fill(page.morning, { date: day(session.on, words.names) }),
        h("div", { class: "stack" },
          button(page.better, () => answer("better"), "act"),
          button(page.same, () => answer("same"), "act"),
          button(page.worse, byHowMuch, "act"),
          button(page.not_known, () => answer(null), "quiet")));
    }

    function painNow() {
      quietBar();
      const answer = (pain) => {
        if (pain >= footroseRule.STRONG) strong(pain);
        else open(pain);
      };
      views.show(root, "ask", page.pain_now, h("p", { class: "say" }, page.tap_number), views.numbers(0, [page.no_pain, page.worst_pain], answer));
    }

    function strong(pain) {
      views.show(root, "read", page.strong, h("p", { class: "say" }, page.strong_do),
        views.contacts(programme, words),
        h("div", { class: "stack" },
          button(page.strong_rest, () => {
            log.rest = today();
            close(made(pain));
            home();
          }, "act"),
          button(page.strong_go, () => open(pain), "quiet")));
    }

    const made = (pain) => ({
      on: today(), nth: of(today()).length + 1, before: pain, tries: [], stopped: null, effort: null,
      morning: null, morningAsked: false,
    });

    /* ---- a session ---- */
    let steps = [];
    let starts = [];

    function open(pain) {
      log.open = { session: made(pain), at: 0, due: dueToday(today()), held: [...held()] };
      save();
      goOn();
    }

    function goOn() {
      const { due, held: out, session } = log.open;
      const days = Math.round((Date.parse(session.on) - Date.parse(programme.from)) / 86_400_000);
      steps = footrosePlan.steps(programme, due, new Set(out), days * programme.aDay + session.nth);
      starts = rungs(session);
      if (unsaid(session).length > 0 && log.open.at > 0 && steps[log.open.at]?.kind !== "ask") {
        askSession(session, page.ask, false, step);
      } else step();
    }

    const rungOf = (cell) => footroseRule.current(cell, starts[cell], log.open.session, programme.acceptedPain);

    function forward() {
      leave();
      log.open.at += 1;
      save();
      step();
    }

    function whereWords(now) {
      const due = log.open.due;
      const { rounds } = programme.exercises[now.e];
      return fill(page.number, { n: due.indexOf(now.e) + 1, all: due.length })
        + (now.r === undefined || rounds === 1 ? "" : ` · ${fill(page.round, { n: now.r + 1, all: rounds })}`);
    }

    /* Shows the step of now. */
    function step() {
      leave();
      resume = step;
      const now = steps[log.open.at];
      if (now.e !== undefined) busyBar(whereWords(now));
      else quietBar();
      if (now.kind === "exercise") intro(now);
      else if (now.kind === "limb") {
        const limb = programme.exercises[now.e].limbs[now.l];
        const at = footrosePlan.first(programme, now.e, now.l);
        const out = limb.cells.flatMap((_, c) => (rungOf(at + c) === "left_out" ? [c] : []));
        if (out.length === limb.cells.length) forward();
        else {
          stop = run.limb(root, tools, now, {
            heldWays: out.map((c) => run.way(programme, words, { ...now, c })), go: forward,
          });
        }
      } else if (now.kind === "move") move(now);
      else if (now.kind === "ask") {
        if (unsaid(log.open.session).length === 0) forward();
        else askSession(log.open.session, page.ask, false, forward);
      } else if (now.kind === "rest") stop = run.rest(root, tools, now.seconds, forward);
      else if (now.kind === "effort") finish();
    }

    /* Time to walk back and stand, after a tap in the middle of a set. */
    function toPlace(then) {
      leave();
      const now = steps[log.open.at];
      resume = step;
      busyBar(whereWords(now));
      stop = run.limb(root, tools, now, { heldWays: [], go: then });
    }

    function intro(now) {
      const exercise = programme.exercises[now.e];
      const most = Math.max(...exercise.limbs.map((limb) => limb.cells.length));
      const times = exercise.reps;
      const shown = exercise.limbs.findIndex((limb) => limb.cells.length > 0);
      const figure = run.figure(programme, words, { e: now.e, l: shown, c: 0 }, "figure wide");
      views.show(root, "intro", words.families[exercise.family],
        h("p", { class: "dose" },
          `${most === 1 ? (times === 1 ? page.one_way_once : fill(page.one_way, { times }))
            : fill(times === 1 ? page.ways_once : page.ways, { n: most, times })}. ${
            counted(exercise.rounds, words.dose.rounds)}.`),
        figure,
        views.lines([
          ...(exercise.limbs.length > 0 ? run.hands(programme, words, now.e, exercise.limbs[0].mover) : []),
          ...run.load(programme, words, now.e),
          run.arrival(programme, words, now.e),
          ["reach", "step", "lunge", "leap"].includes(exercise.family) ? words.pictures.sentences[1] : "",
          programme.general ? page.general : "",
        ]),
        button(page.ready, forward, "act"));
    }

    function move(now) {
      const rung = rungOf(now.cell);
      if (rung === "left_out") {
        forward();
        return;
      }
      const session = log.open.session;
      let one = null;
      const tried = () => {
        if (one) return;
        one = { cell: now.cell, rung, said: null, pain: null };
        session.tries.push(one);
        save();
      };
      const after = steps[log.open.at + 1];
      const told = after.kind === "move" && programme.exercises[now.e].order !== "called" && rungOf(after.cell) !== "left_out";
      stop = run.move(root, tools, now, rung, {
        tried,
        next: told ? fill(page.next, { way: run.way(programme, words, after) }) : "",
        // Closed in the pause, the page goes on with the next direction: what is saved is one step ahead.
        paused: () => {
          tried();
          log.open.at += 1;
          save();
          log.open.at -= 1;
        },
        done: forward,
        fine: () => { one.said = "fine"; forward(); },
        tap: () => {
          tried();
          one.said = "hurt";
          save();
          if (log.settings.buzz) footroseCue.buzz([40, 40, 40]);
          hurt([one], () => toPlace(forward), () => {
            one.said = null;
            toPlace(forward);
          });
        },
      });
    }

    /* What follows from pain in these tries; a number for each where one is given. */
    function hurt(list, then, undo) {
      const [one, ...rest] = list;
      if (!one) {
        then();
        return;
      }
      resume = () => hurt(list, then, undo);
      const cell = cells[one.cell];
      const { e, l, c } = placeOf(one.cell);
      const rung = rungNow(one);
      const cm = length(footroseRule.distance(programme.exercises[e].limbs[l].cells[c].cm, rung), programme.units, words.names);
      const loaded = (programme.exercises[cell.exercise - 1].load?.kind ?? "none") !== "none";
      const said = {
        shortened: [fill(page.shortened, { cm })],
        supported: [page.supported, fill(page.supported_cm, { cm }), loaded ? page.put_down : "", page.no_hold],
        left_out: [page.left_out, page.left_out_do],
      }[rung] ?? [];
      /* Where some pain is accepted, its number decides, and what follows is said after it. */
      const limit = accepted(dayOf(one));
      const which = h("p", { class: "for" },
        fill(page.limb_way, { moves: run.moves(words, cell.family, cell.mover), way: run.way(programme, words, { e, l, c }) }));
      const answer = (pain) => {
        one.pain = pain;
        save();
        const on = () => hurt(rest, then);
        if (!limit) {
          on();
          return;
        }
        const within = footroseRule.within(one, limit);
        resume = on;
        views.show(root, "hurt", within ? page.accepted : page.noted, which,
          views.lines(within ? [page.accepted_do] : said, "say strong"), button(page.go_on, on, "act"));
      };
      views.show(root, "hurt", page.noted, which,
        views.lines(limit ? [fill(page.accepted_limit, { number: limit.upTo })] : said, "say strong"),
        h("p", { class: "say" }, page.how_much),
        views.numbers(1, [], answer),
        h("div", { class: "stack" },
          button(page.hurt_go, () => answer(null), "act"),
          undo ? button(page.undo_hurt, undo, "quiet") : null));
    }

    const rungNow = (one) => (log.open && log.open.session.tries.includes(one)
      ? rungOf(one.cell) : footroseRule.after(one));

    /* The day of the session in which something was tried. */
    const dayOf = (one) => [log.open?.session, ...ended()].find((session) => session?.tries.includes(one))?.on;

    function placeOf(cell) {
      for (const [e, exercise] of programme.exercises.entries()) {
        for (const l of exercise.limbs.keys()) {
          const at = footrosePlan.first(programme, e, l);
          if (cell >= at && cell < at + exercise.limbs[l].cells.length) return { e, l, c: cell - at };
        }
      }
      return { e: 0, l: 0, c: 0 };
    }

    /* Did anything hurt? The answer is given for every time that has none yet, and only by a tap. */
    function askSession(session, question, mayForget, then) {
      const open_ = unsaid(session);
      const already = session.tries.some((one) => one.said === "hurt");
      const again = () => askSession(session, question, mayForget, then);
      resume = again;
      const settle = (said) => {
        for (const one of open_) one.said = said;
        save();
        then();
      };
      views.show(root, "ask", question,
        already ? [h("p", { class: "say" }, page.noted), views.list(saidSo(session))] : null,
        h("div", { class: "stack" },
          button(already ? page.nothing_else : page.nothing, () => settle("fine"), "act"),
          button(already ? page.something_else : page.something, () => which(session, open_, then, again), "act"),
          mayForget ? button(page.not_known, () => settle("unknown"), "quiet") : null));
    }

    /* The directions that were said to hurt, in words. */
    function saidSo(session) {
      return [...footroseRule.hurtCells(session)].sort((a, b) => a - b).map((cell) =>
        fill(page.limb_way, {
          moves: run.moves(words, cells[cell].family, cells[cell].mover), way: run.way(programme, words, placeOf(cell)),
        }));
    }

    /* The floor of one limb after the other, to tap what hurt. Nothing is fine before something is marked. */
    function which(session, open_, then, again) {
      const marked = new Set();
      const limbs = [];
      for (const cell of [...new Set(open_.map((one) => one.cell))].sort((a, b) => a - b)) {
        const { e, l, c } = placeOf(cell);
        let limb = limbs.find((one) => one.e === e && one.l === l);
        if (!limb) limbs.push(limb = { e, l, cells: [] });
        limb.cells.push({ c, cell, words: run.way(programme, words, { e, l, c }) });
      }
      const ask = (at) => {
        if (at >= limbs.length) {
          if (marked.size === 0) {
            again();
            return;
          }
          const hurting = [...marked].map((cell) => open_.filter((one) => one.cell === cell).at(-1));
          for (const one of open_) one.said = hurting.includes(one) ? "hurt" : "fine";
          save();
          hurt(hurting, then);
          return;
        }
        resume = () => ask(at);
        views.mark(root, programme, words, limbs[at], {
          marked,
          more: limbs.length > 1 && limbs.some((one) => one.e !== limbs[at].e)
            ? h("p", { class: "for" }, words.families[programme.exercises[limbs[at].e].family]) : null,
          done: () => ask(at + 1),
        });
      };
      ask(0);
    }

    /* ---- the end of a session ---- */
    function finish() {
      leave();
      quietBar();
      const session = log.open.session;
      if (unsaid(session).length > 0) {
        askSession(session, page.ask, false, finish);
        return;
      }
      resume = finish;
      const answer = (effort) => {
        session.effort = effort;
        close(session);
        finished(session);
      };
      if (session.tries.length === 0) answer(null);
      else {
        views.show(root, "ask", page.effort, h("p", { class: "say" }, page.tap_number), views.numbers(0, [page.easy, page.hardest], answer),
          button(page.no_answer, () => answer(null), "quiet"));
      }
    }

    function close(session) {
      log.sessions.push(session);
      if (log.open && log.open.session === session) log.open = null;
      save();
    }

    function finished(session) {
      resume = null;
      footroseCue.stayOn(false);
      quietBar();
      const hurts = footroseRule.hurtCells(session, programme.acceptedPain).size;
      views.show(root, "finished", can ? page.finished : page.finished_unsaved,
        views.lines([
          ...(hurts >= footroseRule.BACK_OFF_FROM ? [page.two_hurt, page.two_hurt_do]
            : hurts === 1 ? [page.one_hurt] : []),
          page.ask_morning,
        ]),
        h("div", { class: "stack" },
          button(page.code, code, "act"),
          can ? null : button(page.copy, copy, "act"),
          button(page.close, () => home(), "act")));
    }

    /* ---- pause and stop signs ---- */
    function pause() {
      leave();
      const back = resume;
      const now = log.open ? steps[log.open.at] : null;
      quietBar();
      views.show(root, "paused", page.paused, h("div", { class: "stack" },
        button(page.go_on, () => { unlock(); if (now && now.kind === "move" && back === step) toPlace(step); else back(); },
          "act start"),
        now && now.kind === "move" ? button(page.skip, forward) : null,
        button(page.settings, () => settings(() => pauseAgain(back))),
        button(page.end, finish)));
      resume = back;
    }

    function pauseAgain(back) {
      resume = back;
      pause();
    }

    function signs() {
      leave();
      const back = resume;
      bar.replaceChildren();
      views.signs(root, programme, words, {
        close: () => (back ? pauseAgain(back) : home()),
        chosen: (sign) => {
          const before_ = JSON.stringify(log);
          const now = today();
          if (log.open) {
            log.open.session.stopped = sign;
            close(log.open.session);
          } else if (of(now).length > 0) of(now).at(-1).stopped = sign;
          else {
            const session = made(null);
            session.stopped = sign;
            close(session);
          }
          save();
          footroseCue.stayOn(false);
          resume = null;
          bar.replaceChildren();
          views.stopped(root, programme, words, sign, {
            close: () => home(),
            mistake: () => {
              log = JSON.parse(before_);
              save();
              if (back && log.open) {
                goOnQuietly();
              } else home();
            },
          });
        },
      });
    }

    /* Back into the session at the step that was left, paused. */
    function goOnQuietly() {
      const { due, held: out, session } = log.open;
      const days = Math.round((Date.parse(session.on) - Date.parse(programme.from)) / 86_400_000);
      steps = footrosePlan.steps(programme, due, new Set(out), days * programme.aDay + session.nth);
      starts = rungs(session);
      pauseAgain(step);
    }

    /* ---- log, code, settings ---- */
    const exported = () => ended().map((session) =>
      footroseRule.logged(session, cells, rungs(session), programme.acceptedPain));
    const prescription = () => ({
      mark: programme.mark, from: programme.from, until: programme.until, a_day: programme.aDay, cells,
    });

    function logScreen() {
      quietBar();
      const rows = ended().map((session) => {
        const tried = new Set(session.tries.map((one) => one.cell));
        const hurts = footroseRule.hurtCells(session).size;
        return [
          fill(page.log_line, { date: day(session.on, words.names), n: tried.size, all: cells.length }),
          hurts > 0 ? fill(page.log_hurt, { n: hurts }) : "",
          session.stopped ? page.log_stopped : "",
        ].filter(Boolean).join(", ");
      });
      const told = h("div", { role: "status" });
      const undo = () => {
        log = erased;
        erased = null;
        save().then(() => { logScreen(); });
      };
      const empty = rows.length === 0 && !log.open;
      views.show(root, "read", page.log,
        rows.length > 0 ? views.list(rows.reverse()) : h("p", { class: "say" }, erased ? page.erased : page.log_empty),
        told,
        h("div", { class: "stack" },
          erased ? button(page.undo, undo, "act") : null,
          rows.length > 0 ? button(page.copy, () => { copy(); told.textContent = page.copied; }) : null,
          empty ? null : button(page.erase, () => {
            erased = log;
            log = { v: 1, sessions: [], open: null, rest: null, settings: log.settings };
            kept.erase().then(() => logScreen());
          }),
          button(page.back, () => home(), "act")));
    }

    function copy() {
      const text = JSON.stringify({
        format: "footrose-practice-log", version: 1, mark: programme.mark,
        prescription: prescription(), sessions: exported(),
      }, null, 1);
      const address = URL.createObjectURL(new Blob([`${text}\n`], { type: "application/json" }));
      const link = h("a", { href: address, download: `footrose-log-${today()}.json` });
      link.click();
      setTimeout(() => URL.revokeObjectURL(address), 60_000);
    }

    function code() {
      quietBar();
      const open_ = openQuestion();
      if (open_) {
        askSession(open_, page.last_time, true, code);
        return;
      }
      if (ended().length === 0) {
        views.show(root, "read", page.code, h("p", { class: "say" }, page.code_empty),
          button(page.back, () => home(), "act"));
        return;
      }
      bar.replaceChildren();
      const sessions = exported();
      const line = footroseCode.encodeLog(prescription(), sessions);
      const { size, dark } = footroseCode.qr(line, { level: "M" });
      let path = "";
      for (let y = 0; y < size; y += 1) {
        for (let x = 0; x < size; x += 1) if (dark(x, y)) path += `M${x} ${y}h1v1h-1Z`;
      }
      const svg = `<svg viewBox="-4 -4 ${size + 8} ${size + 8}" shape-rendering="crispEdges">`
        + `<path fill="#fff" d="M-4 -4h${size + 8}v${size + 8}h-${size + 8}Z"/><path fill="#000" d="${path}"/></svg>`;
      views.show(root, "code", page.code,
        picture(svg, page.code_words, "qr"),
        h("p", { class: "say" }, page.code_show),
        h("p", { class: "say" }, page.code_say),
        h("p", { class: "typed" }, footroseCode.typed(prescription(), sessions)),
        button(page.close, () => home(), "act"));
    }

    function settings(back) {
      quietBar();
      const done = typeof back === "function" ? back : () => home();
      const choice = (words_, key) => {
        const one = button("", () => {
          log.settings[key] = !log.settings[key];
          state();
          save();
        });
        const state = () => {
          one.setAttribute("aria-pressed", String(log.settings[key]));
          one.textContent = `${words_}: ${log.settings[key] ? page.on : page.off}`;
        };
        state();
        return one;
      };
      const waits = [[4, page.wait_short], [8, page.wait_long], [0, page.wait_tap]].map(([seconds, words_]) => {
        const input = h("input", {
          type: "radio", name: "wait", value: String(seconds), checked: log.settings.wait === seconds,
          onchange: () => { log.settings.wait = seconds; save(); },
        });
        return h("label", { class: "choice" }, input, words_);
      });
      views.show(root, "read", page.settings,
        h("div", { class: "stack" },
          choice(page.beep, "beep"),
          footroseCue.voice(programme.lang) ? choice(page.voice, "voice") : null,
          footroseCue.canBuzz() ? choice(page.buzz, "buzz") : null),
        h("fieldset", {}, h("legend", {}, page.wait), waits),
        button(page.back, done, "act"));
    }

    /* A phone that was laid aside in the middle of a movement waits. */
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "hidden" && log.open && resume === step) pause();
    });

    kept.load().then(({ can: may, value, unreadable: not }) => {
      can = may;
      unreadable = Boolean(not);
      if (value) log = { ...log, ...value, settings: { ...log.settings, ...value.settings } };
      home();
    });
  }

  return { begin };
})();
