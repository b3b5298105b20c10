// The codes of the practice page: the same bytes as the crate `exchange` writes.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";

const file = (path) => readFileSync(new URL(`../../${path}`, import.meta.url), "utf8");
const code = new Function(`${file("assets/practice/code.js")}${file("assets/practice/qr.js")}; return footroseCode;`)();
const vectors = JSON.parse(file("crates/exchange/tests/vectors.json"));

const RUNGS = { w: "whole", s: "shortened", p: "supported", l: "left_out" };

/* The directions of a programme in their order. */
const cellsOf = (programme) => programme.exercises.flatMap((exercise, place) => exercise.limbs.flatMap((limb) =>
  limb.cells.map(({ bearing, crossing }) =>
    ({ exercise: place + 1, mover: limb.mover, bearing, crossing, family: exercise.family }))));

function sessionsOf({ programme, sessions }) {
  const cells = cellsOf(programme);
  return sessions.map((session) => {
    const letters = session.cells.split(" ");
    const done = letters.flatMap(([pain, rung], at) => (pain === "-" ? [] : [[cells[at], {
      done: { pain: pain === "?" ? null : pain === "T" ? 10 : Number(pain), rung: RUNGS[rung] },
    }]]));
    return { ...session, cells: done };
  });
}

const prescriptionOf = ({ mark, from, until, aDay, exercises }) =>
  ({ mark, from, until, a_day: aDay, cells: cellsOf({ exercises }) });

test("log codes are the same to the last character", () => {
  assert.ok(vectors.length >= 12);
  for (const vector of vectors) {
    const sessions = sessionsOf(vector);
    assert.equal(code.encodeLog(prescriptionOf(vector.programme), sessions), vector.log, vector.name);
    assert.equal(code.encodeLog(vector.programme, [...sessions].reverse()), vector.log, vector.name);
  }
});

test("typed codes are the same", () => {
  for (const vector of vectors) {
    assert.equal(code.typed(prescriptionOf(vector.programme), sessionsOf(vector)), vector.typed, vector.name);
  }
});

test("a programme out of an address is the one that was put in", () => {
  for (const vector of vectors) {
    assert.deepEqual(code.programmeFromFragment(`#${vector.fragment}`), vector.programme, vector.name);
  }
  const { fragment } = vectors[0];
  for (let at = 0; at < fragment.length; at += 1) {
    const other = fragment[at] === "A" ? "B" : "A";
    assert.throws(() => code.programmeFromFragment(fragment.slice(0, at) + other + fragment.slice(at + 1)), /damaged/);
    assert.throws(() => code.programmeFromFragment(fragment.slice(0, at)), /damaged/);
  }
});

test("what cannot be written is said and not written", () => {
  const [vector] = vectors.filter((one) => one.name === "one day");
  const change = (how) => {
    const sessions = structuredClone(sessionsOf(vector));
    how(sessions[0]);
    return () => code.encodeLog(vector.programme, sessions);
  };
  assert.throws(change((one) => { one.pain_before = 11; }), /pain before is 11; accepted: 0 to 10/);
  assert.throws(change((one) => { one.cells[0][0].exercise = 9; }), /no direction of the programme/);
  assert.throws(change((one) => { one.stopped = "tired"; }), /"tired"; accepted: pain_stays/);
  assert.throws(change((one) => { one.on = "30.11.2026"; }), /no day/);
});

test("a symbol has the smallest version that holds its text", () => {
  // Alphanumeric capacities of ISO/IEC 18004 at level M, versions 1, 9, 10, 26, 27 and 40.
  for (const [version, most] of [[1, 20], [9, 262], [10, 311], [26, 1542], [27, 1637], [40, 3391]]) {
    const drawn = code.qr("A".repeat(most), { level: "M" });
    assert.deepEqual([drawn.version, drawn.size], [version, version * 4 + 17]);
    if (version < 40) assert.equal(code.qr("A".repeat(most + 1), { level: "M" }).version, version + 1);
  }
  assert.throws(() => code.qr("A".repeat(3392), { level: "M" }), /accepted: a shorter text/);
});
