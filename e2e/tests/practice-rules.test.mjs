// What the page does with answers and in which order it asks, without a browser.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { test } from "node:test";
import { fileURLToPath } from "node:url";
import { runInNewContext } from "node:vm";

const folder = join(dirname(fileURLToPath(import.meta.url)), "../../assets/practice");
const source = (...names) => names.map((name) => readFileSync(join(folder, `${name}.js`), "utf8")).join("\n");
const { order, rule, plan, floor, dom } = runInNewContext(
  `${source("order", "rule", "plan", "floor", "dom")}
  ({ order: footroseOrder, rule: footroseRule, plan: footrosePlan, floor: footroseFloor, dom: footroseDom })`,
  { Math, Date });
const plain = (value) => JSON.parse(JSON.stringify(value));

test("a called order asks each direction equally often, none twice in a row, and the same seed asks alike", () => {
  for (const count of [2, 3, 4, 5, 6, 7, 8, 9]) {
    for (const times of [1, 2, 3]) {
      const rounds = plain(order.called(count, times, 4, 7));
      for (const round of rounds) {
        for (let cell = 0; cell < count; cell += 1) {
          assert.equal(round.filter((one) => one === cell).length, times, `${count} × ${times}`);
        }
        assert.ok(round.every((one, at) => at === 0 || one !== round[at - 1]), `${round}`);
      }
      assert.deepEqual(plain(order.called(count, times, 4, 7)), rounds);
    }
  }
  assert.notDeepEqual(plain(order.called(8, 1, 4, 7)), plain(order.called(8, 1, 4, 8)));
  assert.deepEqual(plain(order.called(1, 2, 1, 3)), [[0, 0]]);
});

test("over as many rounds as directions, each comes after each of the others equally often, and at each place once", () => {
  for (const count of [4, 6, 8]) {
    const rounds = plain(order.called(count, 1, count, 11));
    const after = new Map();
    for (const round of rounds) {
      round.slice(1).forEach((cell, at) => {
        const pair = `${round[at]}-${cell}`;
        after.set(pair, (after.get(pair) ?? 0) + 1);
      });
    }
    assert.equal(after.size, count * (count - 1));
    assert.ok([...after.values()].every((times) => times === 1));
    for (let place = 0; place < count; place += 1) {
      assert.equal(new Set(rounds.map((round) => round[place])).size, count);
    }
  }
});

const programme = {
  exercises: [{
    family: "step", order: "round", seed: 1, rounds: 2, reps: 1, restS: 20,
    limbs: [
      { mover: "left", cells: [0, 315, 270].map((bearing) => ({ bearing, crossing: "none", cm: 30 })) },
      { mover: "right", cells: [0, 45, 90].map((bearing) => ({ bearing, crossing: "none", cm: 30 })) },
    ],
  }],
};

test("a session asks after every round, rests between rounds, and leaves out what was left out before", () => {
  const kinds = plain(plan.steps(programme, [0], new Set(), 1)).map((step) => step.kind);
  const round = ["limb", "move", "move", "move", "limb", "move", "move", "move", "ask"];
  assert.deepEqual(kinds, ["exercise", ...round, "rest", ...round, "effort", "finished"]);
  const held = plain(plan.steps(programme, [0], new Set([1, 3, 4, 5]), 1));
  assert.deepEqual(held.filter((step) => step.kind === "move").map((step) => step.cell), [0, 2, 0, 2]);
  assert.equal(held.filter((step) => step.kind === "limb").length, 2);
  assert.deepEqual(plain(plan.steps(programme, [0], new Set([0, 1, 2, 3, 4, 5]), 1)).map((step) => step.kind),
    ["effort", "finished"]);
});

test("the order can be turned round", () => {
  const turned = structuredClone(programme);
  turned.exercises[0].order = "reverse";
  const cells = plain(plan.steps(turned, [0], new Set(), 1)).filter((step) => step.kind === "move").map((s) => s.cell);
  assert.deepEqual(cells.slice(0, 6), [2, 1, 0, 5, 4, 3]);
});

const attempt = (cell, rung, said, pain = null) => ({ cell, rung, said, pain });
const session = (tries, more = {}) => ({
  on: "2026-11-30", nth: 1, before: 1, tries, stopped: null, effort: null, morning: null, ...more,
});

test("pain shortens, then shortens more with support, then leaves out; the distance is never rounded up", () => {
  assert.equal(rule.next("whole"), "shortened");
  assert.equal(rule.next("shortened"), "supported");
  assert.equal(rule.next("supported"), "left_out");
  assert.equal(rule.next("left_out"), "left_out");
  assert.deepEqual(["whole", "shortened", "supported"].map((rung) => rule.distance(30, rung)), [30, 22, 15]);
  const slow = plain(rule.pace({ outS: 2, holdS: 1, backS: 2 }, {}, "supported"));
  assert.deepEqual(slow, { out: 3, hold: 1, back: 3 });
});

test("a length is never told longer than it is, and a pace never faster", () => {
  const names = { cm: "{number} cm", inches: "{number} in" };
  const told = [35.7, 28, 0.29 * 100].map((cm) => dom.length(cm, "metric", names));
  assert.deepEqual(told, ["35 cm", "28 cm", "29 cm"]);
  // 40 cm = 15.748 in, 26 cm = 10.236 in.
  assert.deepEqual([40, 26, 25.4].map((cm) => dom.length(cm, "imperial", names)), ["15½ in", "10 in", "10 in"]);
  const quick = plain(rule.pace({ outS: 1.2, holdS: 0, backS: 0.1 * 30 }, {}, "whole"));
  assert.deepEqual(quick, { out: 2, hold: 0, back: 3 });
  assert.deepEqual(plain(rule.pace({ outS: 1.5, holdS: 0, backS: 2 }, {}, "supported")), { out: 3, hold: 0, back: 3 });
});

test("the figures of the pain rule are those of the reference tables", () => {
  const root = join(folder, "../..");
  const margins = readFileSync(join(root, "reference/safety_margins.toml"), "utf8");
  const value = (name) => Number(new RegExp(`^${name} = ([\\d.]+)`, "m").exec(margins)[1]);
  assert.equal(rule.FACTORS.shortened, value("first_factor"));
  assert.equal(rule.FACTORS.supported, value("second_factor"));
  assert.equal(rule.BACK_OFF_FROM, value("back_off_from_directions"));
  const dose = readFileSync(join(root, "reference/dose.toml"), "utf8");
  assert.equal(rule.SLOWER_TIMES, Number(/key = "slower_times"\nvalue = ([\d.]+)/.exec(dose)[1]));
});

test("an answer of this session counts at once, and a question that is open does not make anything harder", () => {
  const now = session([attempt(2, "whole", "hurt", 3)]);
  assert.equal(rule.current(2, "whole", now), "shortened");
  assert.equal(rule.current(1, "whole", now), "whole");
  assert.equal(rule.current(1, "shortened", session([attempt(1, "shortened", null)])), "shortened");
});

test("what was made easier stays easier in later sessions, however well they go", () => {
  const first = session([attempt(0, "whole", "hurt")]);
  const second = session([attempt(0, "shortened", "fine")], { on: "2026-12-01" });
  assert.deepEqual(plain(rule.starting(2, [first, second])), ["shortened", "whole"]);
});

test("an unanswered or forgotten question is never no pain, and never leaves a direction out", () => {
  for (const said of [null, "unknown"]) {
    const logged = plain(rule.logged(session([attempt(0, "whole", said)]), [{ exercise: 1 }], ["whole"]));
    assert.equal(logged.cells[0][1].done.pain, null);
    let rung = "whole";
    for (let time = 0; time < 5; time += 1) rung = rule.starting(1, [session([attempt(0, rung, said)])])[0];
    assert.equal(rung, "shortened");
  }
  const mixed = session([attempt(0, "whole", "fine"), attempt(0, "whole", null)]);
  assert.equal(rule.logged(mixed, [{}], ["whole"]).cells[0][1].done.pain, null);
});

test("the log says the worst number, the last rung, and 0 only where every time was said to be fine", () => {
  const cells = [{ exercise: 1 }, { exercise: 2 }, { exercise: 3 }];
  const done = plain(rule.logged(session([
    attempt(0, "whole", "hurt", 3), attempt(0, "shortened", "hurt", 5), attempt(0, "supported", "hurt"),
    attempt(1, "whole", "fine"), attempt(1, "whole", "fine"),
  ]), cells, ["whole", "whole", "whole"])).cells;
  assert.deepEqual(done.map(([, one]) => one.done), [{ pain: 5, rung: "left_out" }, { pain: 0, rung: "whole" }]);
});

test("two directions that hurt, or a worse morning, shorten everything next time", () => {
  const two = session([attempt(0, "whole", "hurt"), attempt(1, "whole", "hurt"), attempt(2, "whole", "fine")]);
  assert.deepEqual(plain(rule.starting(4, [two])), Array(4).fill("shortened"));
  const worse = session([attempt(0, "whole", "fine")], { morning: { worse: null } });
  assert.deepEqual(plain(rule.starting(2, [worse])), ["shortened", "shortened"]);
  const fine = session([attempt(0, "whole", "fine")], { morning: "same" });
  assert.deepEqual(plain(rule.starting(2, [fine])), ["whole", "whole"]);
});

test("a worse answer never gives an easier way to a harder movement: every pair of logs of three tries", () => {
  const answers = ["fine", "unknown", "hurt"];
  const rank = (rungs) => rungs.map((rung) => rule.RUNGS.indexOf(rung));
  const logs = answers.flatMap((a) => answers.flatMap((b) => answers.map((c) => [a, b, c])));
  for (const log of logs) {
    for (const [at, said] of log.entries()) {
      for (const worse of answers.slice(answers.indexOf(said) + 1)) {
        const made = (list) => [session(list.slice(0, 2).map((one, cell) => attempt(cell, "whole", one))),
          session([attempt(0, "shortened", list[2])], { on: "2026-12-01" })];
        const before = rank(rule.starting(3, made(log)));
        const after = rank(rule.starting(3, made(log.with(at, worse))));
        assert.ok(after.every((rung, cell) => rung >= before[cell]), `${log} → ${worse} at ${at}`);
      }
    }
  }
});

const accepts = { upTo: 4, safe: 2, until: "2026-12-05" };

test("accepted pain keeps its distance, more than it or no number does not, and after its last day the rule is strict", () => {
  const at = (pain, on = "2026-11-30") => rule.current(0, "whole", session([attempt(0, "whole", "hurt", pain)], { on }), accepts);
  assert.equal(at(4), "whole");
  assert.equal(at(5), "shortened");
  assert.equal(at(null), "shortened");
  assert.equal(at(1, "2026-12-05"), "whole");
  assert.equal(at(1, "2026-12-06"), "shortened");
  assert.equal(rule.current(0, "whole", session([attempt(0, "whole", "hurt", 1)])), "shortened", "strict without an order");
});

test("accepted pain counts where the morning was worse, and where nobody said though the day is over", () => {
  const after = (pain, morning, today) => plain(rule.starting(2,
    [session([attempt(0, "whole", "hurt", pain), attempt(1, "whole", "fine")], { morning })], accepts, today));
  assert.deepEqual(after(4, "same", "2026-12-01"), ["whole", "whole"]);
  assert.deepEqual(after(4, null, "2026-11-30"), ["whole", "whole"], "nobody can have asked yet");
  assert.deepEqual(after(4, null, "2026-12-01"), ["shortened", "whole"]);
  assert.deepEqual(after(2, null, "2026-12-01"), ["whole", "whole"], "a little is safe");
  assert.deepEqual(after(2, { worse: 1 }, "2026-12-01"), ["shortened", "shortened"]);
  const shortened = session([attempt(0, "shortened", "hurt", 3)], { morning: { worse: 1 } });
  assert.deepEqual(plain(rule.starting(1, [shortened], accepts, "2026-12-01")), ["supported"], "it hurt again");
});

test("two directions within what is accepted shorten nothing, and the log still says every number", () => {
  const two = session([attempt(0, "whole", "hurt", 3), attempt(1, "whole", "hurt", 4)], { morning: "better" });
  assert.deepEqual(plain(rule.starting(3, [two], accepts, "2026-12-01")), ["whole", "whole", "whole"]);
  assert.equal(rule.hurtCells(two, accepts).size, 0);
  const done = plain(rule.logged(two, [{}, {}, {}], ["whole", "whole", "whole"], accepts)).cells;
  assert.deepEqual(done.map(([, one]) => one.done), [{ pain: 3, rung: "whole" }, { pain: 4, rung: "whole" }]);
});

test("an order that accepts pain never makes a direction harder than the strict rule began it", () => {
  const rank = (rungs) => rungs.map((rung) => rule.RUNGS.indexOf(rung));
  for (const pain of [null, 1, 2, 3, 4, 5, 9]) {
    for (const morning of [null, "better", "same", { worse: 2 }]) {
      for (const rung of ["whole", "shortened", "supported"]) {
        const log = [session([attempt(0, rung, "hurt", pain)], { morning })];
        const [strict, loose] = [rule.starting(1, log), rule.starting(1, log, accepts, "2026-12-01")].map(rank);
        assert.ok(loose[0] <= strict[0] && loose[0] >= rule.RUNGS.indexOf(rung), `${pain} ${rung}`);
      }
    }
  }
});

test("a direction that stays closed is drawn as a bracket on its bearing and none where nothing is closed", () => {
  const drawn = (closed) => floor.draw({
    exercises: [{ family: "step", limbs: [{ mover: "right", cells: [{ bearing: 90, crossing: "none", cm: 30 }], closed }] }],
    drawings: { foot: { left: [[0, 0]], right: [[0, 0]] }, feet: { left: [0, -9], right: [0, 9] }, footLength: 25 },
  }, { names: { foot_letter: { left: "L", right: "R" } } }, 0, 0);
  assert.deepEqual([...drawn([225, 270]).matchAll(/class="shut" transform="rotate\((\d+)\)/g)].map((one) => one[1]), ["225", "270"]);
  assert.doesNotMatch(drawn(undefined), /shut/);
});

test("jumps rest a day, strength never comes more than three times in seven days", () => {
  assert.equal(rule.due("daily", ["2026-11-29"], "2026-11-30"), true);
  assert.equal(rule.due("alternate", ["2026-11-29"], "2026-11-30"), false);
  assert.equal(rule.due("alternate", ["2026-11-28", "2026-11-30"], "2026-11-30"), true);
  assert.equal(rule.due("3_week", ["2026-11-24", "2026-11-26", "2026-11-28"], "2026-11-30"), false);
  assert.equal(rule.due("3_week", ["2026-11-22", "2026-11-26", "2026-11-28"], "2026-11-30"), true);
  assert.equal(rule.due("2_week", ["2026-11-26", "2026-11-28"], "2026-11-30"), false);
});

test("the left limb's floor is the right limb's with left and right changed, and lateral is on its own side", () => {
  const feet = { left: [0, -9], right: [0, 9] };
  for (const family of ["step", "reach", "hop", "bend_and_reach", "two_foot_jump"]) {
    for (const bearing of [0, 45, 90, 135, 180, 225, 270, 315]) {
      const right = floor.landing(family, "right", bearing, 30, feet, 10);
      const left = floor.landing(family, "left", (360 - bearing) % 360, 30, feet, 10);
      assert.ok(Math.abs(left[0] - right[0]) < 1e-6 && Math.abs(left[1] + right[1]) < 1e-6, `${family} ${bearing}`);
    }
  }
  assert.ok(floor.landing("step", "left", 270, 30, feet, 0)[1] < 0);
  assert.ok(floor.landing("step", "right", 90, 30, feet, 0)[1] > 0);
});
