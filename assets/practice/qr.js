/* Draws a text as a QR symbol: footroseCode.qr(text, { level }) gives { size, dark(x, y), version }.

   ISO/IEC 18004 model 2, one segment: alphanumeric where every character allows it, else bytes (UTF-8). The
   smallest version that holds the text, the mask with the least penalty. Written from memory of the standard
   and checked against two decoders of others (validation/codes). */
footroseCode.qr = (() => {
  const LEVELS = { L: 1, M: 0, Q: 3, H: 2 };
  const SET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";
  /* Check bytes in a block, and blocks, of versions 1 to 40. */
  const CHECKS = {
    L: [7, 10, 15, 20, 26, 18, 20, 24, 30, 18, 20, 24, 26, 30, 22, 24, 28, 30, 28, 28, 28, 28, 30, 30, 26, 28, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30],
    M: [10, 16, 26, 18, 24, 16, 18, 22, 22, 26, 30, 22, 22, 24, 24, 28, 28, 26, 26, 26, 26, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28],
    Q: [13, 22, 18, 26, 18, 24, 18, 22, 20, 24, 28, 26, 24, 20, 30, 24, 28, 28, 26, 30, 28, 30, 30, 30, 30, 28, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30],
    H: [17, 28, 22, 16, 22, 28, 26, 26, 24, 28, 24, 28, 22, 24, 24, 30, 28, 28, 26, 28, 30, 24, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30],
  };
  const BLOCKS = {
    L: [1, 1, 1, 1, 1, 2, 2, 2, 2, 4, 4, 4, 4, 4, 6, 6, 6, 6, 7, 8, 8, 9, 9, 10, 12, 12, 12, 13, 14, 15, 16, 17, 18, 19, 19, 20, 21, 22, 24, 25],
    M: [1, 1, 1, 2, 2, 4, 4, 4, 5, 5, 5, 8, 9, 9, 10, 10, 11, 13, 14, 16, 17, 17, 18, 20, 21, 23, 25, 26, 28, 29, 31, 33, 35, 37, 38, 40, 43, 45, 47, 49],
    Q: [1, 1, 2, 2, 4, 4, 6, 6, 8, 8, 8, 10, 12, 16, 12, 17, 16, 18, 21, 20, 23, 23, 25, 27, 29, 34, 34, 35, 38, 40, 43, 45, 48, 51, 53, 56, 59, 62, 65, 68],
    H: [1, 1, 2, 4, 4, 4, 5, 6, 8, 8, 11, 11, 16, 16, 18, 16, 19, 21, 25, 25, 25, 34, 30, 32, 35, 37, 40, 42, 45, 48, 51, 54, 57, 60, 63, 66, 70, 74, 77, 81],
  };

  /* The field of 256 elements with x^8 + x^4 + x^3 + x^2 + 1. */
  const EXP = [1];
  while (EXP.length < 255) EXP.push((EXP.at(-1) << 1) ^ (EXP.at(-1) & 128 ? 0x11d : 0));
  const LOG = [];
  EXP.forEach((value, power) => {
    LOG[value] = power;
  });
  const times = (a, b) => (a && b ? EXP[(LOG[a] + LOG[b]) % 255] : 0);

  function checks(data, count) {
    let generator = [1];
    for (let power = 0; power < count; power += 1) {
      const shifted = [...generator, 0];
      generator = shifted.map((part, at) => part ^ (at > 0 ? times(generator[at - 1], EXP[power]) : 0));
    }
    const rest = [...data, ...new Array(count).fill(0)];
    for (let at = 0; at < data.length; at += 1) {
      const factor = rest[at];
      if (factor) generator.forEach((part, step) => {
        rest[at + step] ^= times(factor, part);
      });
    }
    return rest.slice(data.length);
  }

  /* Centres of the alignment patterns along one axis. */
  function alignment(version) {
    if (version === 1) return [];
    const count = Math.floor(version / 7) + 2;
    const step = Math.floor((version * 8 + count * 3 + 5) / (count * 4 - 4)) * 2;
    const out = [6];
    for (let place = version * 4 + 10; out.length < count; place -= step) out.splice(1, 0, place);
    return out;
  }

  /* Modules of a version that carry something: all but patterns, format and version. */
  function room(version) {
    let modules = (16 * version + 128) * version + 64;
    if (version >= 2) {
      const count = Math.floor(version / 7) + 2;
      modules -= (25 * count - 10) * count - 55;
      if (version >= 7) modules -= 36;
    }
    return Math.floor(modules / 8);
  }

  function bitsOf(text, level) {
    const letters = [...text].every((letter) => SET.includes(letter));
    const bytes = letters ? [] : [...new TextEncoder().encode(text)];
    for (let version = 1; version <= 40; version += 1) {
      const bits = [];
      const put = (value, width) => {
        for (let at = width - 1; at >= 0; at -= 1) bits.push((value >> at) & 1);
      };
      const size = version < 10 ? 0 : version < 27 ? 1 : 2;
      if (letters) {
        put(2, 4);
        put(text.length, [9, 11, 13][size]);
        for (let at = 0; at < text.length; at += 2) {
          if (at + 1 < text.length) put(SET.indexOf(text[at]) * 45 + SET.indexOf(text[at + 1]), 11);
          else put(SET.indexOf(text[at]), 6);
        }
      } else {
        put(4, 4);
        put(bytes.length, [8, 16, 16][size]);
        bytes.forEach((byte) => put(byte, 8));
      }
      const capacity = (room(version) - CHECKS[level][version - 1] * BLOCKS[level][version - 1]) * 8;
      if (bits.length > capacity) continue;
      put(0, Math.min(4, capacity - bits.length));
      put(0, (8 - (bits.length % 8)) % 8);
      for (let filler = 0xec; bits.length < capacity; filler ^= 0xec ^ 0x11) put(filler, 8);
      return { version, bits };
    }
    throw new RangeError(`${text.length} characters; a QR symbol of level ${level} holds fewer; accepted: a shorter text`);
  }

  /* Bytes in their blocks, woven as the standard says. */
  function woven(bits, version, level) {
    const data = [];
    for (let at = 0; at < bits.length; at += 8) data.push(bits.slice(at, at + 8).reduce((value, bit) => value * 2 + bit, 0));
    const [count, size] = [BLOCKS[level][version - 1], CHECKS[level][version - 1]];
    const short = Math.floor(data.length / count);
    const longFrom = count - (data.length % count);
    const blocks = [];
    for (let block = 0, at = 0; block < count; block += 1) {
      const part = data.slice(at, at + short + (block >= longFrom ? 1 : 0));
      at += part.length;
      blocks.push({ part, check: checks(part, size) });
    }
    const out = [];
    for (let at = 0; at <= short; at += 1) blocks.forEach(({ part }) => at < part.length && out.push(part[at]));
    for (let at = 0; at < size; at += 1) blocks.forEach(({ check }) => out.push(check[at]));
    return out;
  }

  const MASKS = [
    (x, y) => (x + y) % 2, (x, y) => y % 2, (x) => x % 3, (x, y) => (x + y) % 3,
    (x, y) => (Math.floor(x / 3) + Math.floor(y / 2)) % 2, (x, y) => ((x * y) % 2) + ((x * y) % 3),
    (x, y) => (((x * y) % 2) + ((x * y) % 3)) % 2, (x, y) => (((x + y) % 2) + ((x * y) % 3)) % 2,
  ];

  /* Everything that does not depend on the text: 0 and 1, `undefined` where data goes. */
  function frame(version) {
    const size = version * 4 + 17;
    const grid = Array.from({ length: size }, () => new Array(size));
    const put = (x, y, dark) => {
      if (x >= 0 && y >= 0 && x < size && y < size) grid[y][x] = dark ? 1 : 0;
    };
    for (let at = 0; at < size; at += 1) {
      put(at, 6, at % 2 === 0);
      put(6, at, at % 2 === 0);
    }
    for (const [cx, cy] of [[3, 3], [size - 4, 3], [3, size - 4]]) {
      for (let dy = -4; dy <= 4; dy += 1) for (let dx = -4; dx <= 4; dx += 1) {
        const ring = Math.max(Math.abs(dx), Math.abs(dy));
        put(cx + dx, cy + dy, ring !== 2 && ring !== 4);
      }
    }
    const places = alignment(version);
    const lastPlace = places.length - 1;
    places.forEach((cx, i) => places.forEach((cy, j) => {
      if ((i === 0 && j === 0) || (i === 0 && j === lastPlace) || (i === lastPlace && j === 0)) return;
      for (let dy = -2; dy <= 2; dy += 1) for (let dx = -2; dx <= 2; dx += 1) {
        put(cx + dx, cy + dy, Math.max(Math.abs(dx), Math.abs(dy)) !== 1);
      }
    }));
    if (version >= 7) {
      let rest = version;
      for (let at = 0; at < 12; at += 1) rest = (rest << 1) ^ ((rest >> 11) * 0x1f25);
      const bits = (version << 12) | rest;
      for (let at = 0; at < 18; at += 1) {
        const [a, b] = [size - 11 + (at % 3), Math.floor(at / 3)];
        put(a, b, (bits >> at) & 1);
        put(b, a, (bits >> at) & 1);
      }
    }
    format(put, size, 0, "M");
    return { size, grid };
  }

  function format(put, size, mask, level) {
    const data = (LEVELS[level] << 3) | mask;
    let rest = data;
    for (let at = 0; at < 10; at += 1) rest = (rest << 1) ^ ((rest >> 9) * 0x537);
    const bits = ((data << 10) | rest) ^ 0x5412;
    const bit = (at) => (bits >> at) & 1;
    for (let at = 0; at <= 5; at += 1) put(8, at, bit(at));
    put(8, 7, bit(6));
    put(8, 8, bit(7));
    put(7, 8, bit(8));
    for (let at = 9; at < 15; at += 1) put(14 - at, 8, bit(at));
    for (let at = 0; at < 8; at += 1) put(size - 1 - at, 8, bit(at));
    for (let at = 8; at < 15; at += 1) put(8, size - 15 + at, bit(at));
    put(8, size - 8, 1);
  }

  function penalty(grid) {
    const size = grid.length;
    let sum = 0;
    let darkCount = 0;
    const lines = [...grid, ...grid.map((_, x) => grid.map((row) => row[x]))];
    for (const line of lines) {
      let run = 0;
      line.forEach((module, at) => {
        run = at > 0 && module === line[at - 1] ? run + 1 : 1;
        if (run === 5) sum += 3;
        else if (run > 5) sum += 1;
      });
      const text = line.join("");
      for (const finder of ["10111010000", "00001011101"]) {
        for (let at = text.indexOf(finder); at >= 0; at = text.indexOf(finder, at + 1)) sum += 40;
      }
    }
    for (let y = 0; y < size; y += 1) for (let x = 0; x < size; x += 1) {
      darkCount += grid[y][x];
      const same = x + 1 < size && y + 1 < size
        && grid[y][x] === grid[y][x + 1] && grid[y][x] === grid[y + 1][x] && grid[y][x] === grid[y + 1][x + 1];
      if (same) sum += 3;
    }
    return sum + Math.floor(Math.abs((darkCount * 100) / (size * size) - 50) / 5) * 10;
  }

  return (text, { level = "M" } = {}) => {
    const { version, bits } = bitsOf(text, level);
    const stream = woven(bits, version, level).flatMap((byte) => [7, 6, 5, 4, 3, 2, 1, 0].map((at) => (byte >> at) & 1));
    const { size, grid } = frame(version);
    const free = [];
    for (let right = size - 1, up = true; right >= 1; right -= 2, up = !up) {
      if (right === 6) right = 5;
      for (let step = 0; step < size; step += 1) {
        const y = up ? size - 1 - step : step;
        for (const x of [right, right - 1]) if (grid[y][x] === undefined) free.push([x, y]);
      }
    }
    let best = null;
    for (let mask = 0; mask < 8; mask += 1) {
      const tried = grid.map((row) => [...row]);
      free.forEach(([x, y], at) => {
        tried[y][x] = (stream[at] ?? 0) ^ (MASKS[mask](x, y) === 0 ? 1 : 0);
      });
      format((x, y, dark) => {
        tried[y][x] = dark ? 1 : 0;
      }, size, mask, level);
      const cost = penalty(tried);
      if (!best || cost < best.cost) best = { cost, tried };
    }
    return { size, version, dark: (x, y) => best.tried[y][x] === 1 };
  };
})();
