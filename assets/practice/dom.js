/* Elements, sentences with numbers in them, lengths and days. */
const footroseDom = (() => {
  /* h("button", { class: "big", onclick: f }, "words", other) */
  function h(tag, attributes = {}, ...children) {
    const made = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes)) {
      if (name.startsWith("on")) made.addEventListener(name.slice(2), value);
      else if (value === true) made.setAttribute(name, "");
      else if (value !== false && value !== null && value !== undefined) made.setAttribute(name, value);
    }
    made.append(...children.flat(Infinity).filter((child) => child !== null && child !== undefined && child !== ""));
    return made;
  }

  const button = (words, onclick, kind = "", more = {}) =>
    h("button", { type: "button", class: kind, onclick, ...more }, words);

  /* A drawing of ours, with its words for those who do not see it. */
  function picture(svg, words, kind) {
    const made = h("div", { class: kind, role: "img", "aria-label": words });
    made.innerHTML = svg;
    made.querySelector("svg")?.setAttribute("aria-hidden", "true");
    return made;
  }

  /* Puts values between the braces of a sentence. */
  const fill = (sentence, values = {}) =>
    sentence.replace(/\{(\w+)\}/g, (_, name) => String(values[name] ?? ""));

  /* A number with the words that belong to it. */
  const counted = (number, forms) => `${number} ${number === 1 ? forms.one : forms.many}`;

  /* A length as the sheet writes it: whole centimetres, or quarters of an inch, rounded down. */
  function length(cm, units, names) {
    if (units !== "imperial") return fill(names.cm, { number: Math.floor(cm + 1e-6) });
    const quarters = Math.floor((cm / 2.54) * 4 + 1e-6);
    const part = ["", "¼", "½", "¾"][quarters % 4];
    return fill(names.inches, { number: `${Math.floor(quarters / 4) || (part ? "" : 0)}${part}` });
  }

  /* A mass as the sheet writes it: tenths of a kilogram, halves of a pound, rounded down. */
  function mass(kg, units, names) {
    const [form, value, parts] = units === "imperial" ? [names.pounds, kg / 0.45359237, 2] : [names.kg, kg, 10];
    return fill(form, { number: String(Math.floor(value * parts + 1e-6) / parts).replace(".", names.decimal) });
  }

  const two = (number) => String(number).padStart(2, "0");

  /* The day on this phone, as 2026-11-30. */
  function today() {
    const now = new Date();
    return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
  }

  function day(iso, names) {
    const [year, month, date] = iso.split("-").map(Number);
    return fill(names.date, {
      day: date === 1 ? names.first_of_month : date, month: names.months[month - 1], year,
    });
  }

  const reduced = () => matchMedia("(prefers-reduced-motion: reduce)").matches;

  return { h, button, picture, fill, counted, length, mass, today, day, reduced };
})();
