/* The floor seen from above, the person facing up the page; nothing here mirrors. Centimetres. */
const footroseFloor = (() => {
  const other = { left: "right", right: "left" };
  const sign = { left: -1, right: 1 };
  const cos = (bearing) => Math.round(Math.cos((bearing * Math.PI) / 180) * 1e9) / 1e9;
  const sin = (bearing) => Math.round(Math.sin((bearing * Math.PI) / 180) * 1e9) / 1e9;

  /* Where a movement ends: forward and right of the centre. The same rule as the engine's: straight ahead and
     back a limb keeps its own lane and still ends at the asked distance from the centre. */
  function landing(family, mover, bearing, cm, feet, handLane) {
    if (family === "hop") return [cm * cos(bearing), cm * sin(bearing)];
    if (family === "two_foot_jump") {
      return [feet[mover][0] + cm * cos(bearing), feet[mover][1] + cm * sin(bearing)];
    }
    if (bearing % 180 !== 0) return [cm * cos(bearing), cm * sin(bearing)];
    const beside = Math.abs(feet[mover][1]) + (family === "bend_and_reach" ? handLane : 0);
    const lane = Math.min(beside, cm);
    return [cos(bearing) * Math.sqrt(cm * cm - lane * lane), sign[mover] * lane];
  }

  const at = ([forward, right]) => `${right.toFixed(1)} ${(-forward).toFixed(1)}`;
  const place = ([forward, right], yaw = 0) => `translate(${right.toFixed(2)} ${(-forward).toFixed(2)}) rotate(${yaw})`;

  /* How large the floor is drawn: the furthest end with its foot and its words, and the support. */
  function rim(programme, e) {
    const { limbs, spot } = programme.exercises[e];
    const furthest = limbs.flatMap((limb) => limb.cells.map((cell) => cell.cm));
    const front = spot ? (spot.kind === "walking_frame" ? spot.front[1] + 3 : spot.front[0] + 6) : 0;
    return Math.max(44, front, Math.max(...furthest) + 17);
  }

  /* A direction that stays closed: a bracket that opens outward, like a gate that is shut. */
  const shut = (bearing, reach) =>
    `<path class="shut" transform="rotate(${bearing}) translate(0 ${(-reach * 0.58).toFixed(1)})" d="M-6 -4V0H6V-4"/>`;

  const letter = (words, side, kind) =>
    `<text class="${kind}-word" y="3.2" text-anchor="middle">${words.names.foot_letter[side]}</text>`;

  function foot(drawings, words, side, kind) {
    const outline = drawings.foot[side].map((point) => at(point)).join("L");
    return `<path class="${kind}" d="M${outline}Z"/>${letter(words, side, kind)}`;
  }

  function support(spot) {
    if (!spot) return "";
    const { kind, front, right } = spot;
    const [near, far] = front.map((one) => Math.max(-95, Math.min(95, one)));
    const [from, to] = right.map((one) => Math.max(-95, Math.min(95, one)));
    if (kind === "walking_frame") {
      return `<path class="bar" d="M${from} ${-near}L${from} ${-far}L${to} ${-far}L${to} ${-near}"/>`;
    }
    return `<rect class="block" x="${from}" y="${-far}" width="${to - from}" height="${far - near}"/>`
      + `<path class="edge" d="M${from} ${-near}L${to} ${-near}"/>`;
  }

  function start(programme, e, l) {
    const { family } = programme.exercises[e];
    const { mover } = programme.exercises[e].limbs[l];
    const feet = programme.drawings.feet;
    if (family === "bend_and_reach") return [6, sign[mover] * 30];
    return family === "hop" ? [0, 0] : feet[mover];
  }

  /* The way of one direction: where it begins, bends and ends, and how the foot is turned there. */
  function way(programme, e, l, c, cm) {
    const exercise = programme.exercises[e];
    const { mover, cells } = exercise.limbs[l];
    const { bearing, crossing, yaw = 0 } = cells[c];
    const drawings = programme.drawings;
    const begin = start(programme, e, l);
    const tip = landing(exercise.family, mover, bearing, cm, drawings.feet, drawings.handLane ?? 0);
    const half = exercise.family === "reach" ? drawings.footLength / 2 : 0;
    const end = [tip[0] - half * cos(yaw), tip[1] - half * sin(yaw)];
    const bend = [(begin[0] + end[0]) / 2, (begin[1] + end[1]) / 2];
    if (crossing === "in_front") bend[0] = Math.max(begin[0], end[0]) + 34;
    if (crossing === "behind") bend[0] = Math.min(begin[0], end[0]) - 34;
    return { begin, bend, end, tip, yaw, mover };
  }

  /* Draws the floor of one limb. `shown` is the direction that is done now with its distance; without it all
     directions are shown. `note` writes at the end of a direction. */
  function draw(programme, words, e, l, { shown = null, cm = 0, note = () => "" } = {}) {
    const exercise = programme.exercises[e];
    const { mover, cells, closed = [] } = exercise.limbs[l];
    const drawings = programme.drawings;
    const reach = rim(programme, e);
    const size = shown === null ? reach / 7.5 : reach / 6;
    const rings = [];
    const step = reach > 60 ? 20 : 10;
    for (let radius = step; radius <= reach - 8; radius += step) rings.push(`<circle class="ring" r="${radius}"/>`);
    const hand = exercise.family === "bend_and_reach";
    const jump = exercise.family === "two_foot_jump";
    const hop = exercise.family === "hop";
    const shoulders = `<g class="body"><ellipse rx="21" ry="10.5"/><circle r="9"/><path d="M-3 -8L0 -13.5L3 -8Z"/></g>`;
    const lines = cells.map((cell, c) => {
      const one = way(programme, e, l, c, c === shown ? cm : cell.cm);
      // The way points exactly where its word says: from the middle, or from the lane that is kept; what crosses
      // is drawn from the foot, so that it is seen on which side it passes.
      const crosses = cell.crossing !== "none";
      const from = crosses ? one.begin : jump ? one.begin : cell.bearing % 180 === 0 ? [0, one.tip[1]] : [0, 0];
      const over = crosses || jump ? one.bend : [0, 1].map((k) => (from[k] + one.tip[k]) / 2);
      const path = `M${at(from)}Q${at(over)} ${at(one.tip)}`;
      if (shown !== null && c !== shown) return `<path class="faint" d="${path}"/>`;
      const turn = Math.atan2(one.tip[1] - over[1], one.tip[0] - over[0]) * 180 / Math.PI;
      const head = `<path class="head" transform="${place(one.tip, turn)}" d="M-5.5 7L0 -3L5.5 7Z"/>`;
      return `<path class="ray ${mover}" d="${path}"/><g class="${mover}">${head}</g>`;
    });
    const marks = cells.map((cell, c) => {
      if (shown !== null && c !== shown) return "";
      const said = note(cell, c);
      if (!said) return "";
      // Beyond the end, and beyond the foot that lands there; sideways above it, where the page is too narrow.
      const [up, side] = [Math.abs(cos(cell.bearing)), Math.abs(sin(cell.bearing))];
      const wide = said.length * size * 0.31;
      const foot_ = shown === null ? 4 : 15;
      const far = (shown === c ? cm : cell.cm) + foot_ + (up > 0.9 ? size * 0.6 : wide * 0.6);
      const keep = (value, most) => Math.max(-most, Math.min(most, value));
      const x = keep(sin(cell.bearing) * far, reach - wide);
      const y = side > 0.9 ? -foot_ - size * 0.55 : keep(-cos(cell.bearing) * far, reach - size * 0.6);
      return `<text class="far" font-size="${size.toFixed(1)}" text-anchor="middle" x="${x.toFixed(1)}" y="${(y + size * 0.35).toFixed(1)}">${said}</text>`;
    });
    const stands = [];
    for (const side of ["left", "right"]) {
      const moves = jump || (!hand && side === mover);
      if (!moves && !hop) {
        stands.push(`<g transform="${place(drawings.feet[side], drawings.yaw?.[side] ?? 0)}">${foot(drawings, words, side, "stands")}</g>`);
      }
    }
    const moving = (side, from) => hand
      ? `<g data-moves="${side}" transform="${place(from)}"><circle class="moves" r="8"/>${letter(words, side, "moves")}</g>`
      : `<g data-moves="${side}" transform="${place(from)}">${foot(drawings, words, side, "moves")}</g>`;
    const movers = jump
      ? ["left", "right"].map((side) => moving(side, drawings.feet[side])).join("")
      : moving(mover, start(programme, e, l));
    return `<svg viewBox="${-reach} ${-reach} ${2 * reach} ${2 * reach}">${rings.join("")}`
      + `${support(exercise.spot)}${shoulders}${closed.map((bearing) => shut(bearing, reach)).join("")}${lines.join("")}${stands.join("")}${movers}${marks.join("")}</svg>`;
  }

  /* Puts what moves at a share of its way, 0 to 1. */
  function put(drawn, programme, e, l, c, cm, share) {
    const one = way(programme, e, l, c, cm);
    const rest = 1 - share;
    const along = [0, 1].map((k) =>
      rest * rest * one.begin[k] + 2 * rest * share * one.bend[k] + share * share * one.end[k]);
    for (const moved of drawn.querySelectorAll("[data-moves]")) {
      const side = moved.dataset.moves;
      const shift = side === one.mover ? [0, 0] : [0, 1].map((k) => programme.drawings.feet[side][k] - one.begin[k]);
      moved.setAttribute("transform", place([along[0] + shift[0], along[1] + shift[1]], one.yaw * share));
    }
  }

  return { draw, put, landing, other };
})();
