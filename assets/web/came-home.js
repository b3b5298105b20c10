// @ts-check
/* What came home: the camera, a picture or a file become a text, and the text is sent to be looked at. No picture
   leaves the page. A typed code goes on from group to group. */

import { prepare, readFrame } from "./camera-code.js";

/** The largest file that is taken, bytes. */
const BYTES_AT_MOST = 2 * 1024 * 1024;
/** Longest side of a picture that is read, pixels: as it is, then smaller, which helps blurred ones. */
const SIDES = [2400, 1200, 700];
/** Milliseconds from one picture of the camera to the next. */
const EVERY = 150;

const form = /** @type {HTMLFormElement} */ (document.getElementById("came"));
const say = /** @type {HTMLElement} */ (document.getElementById("camera-say"));
const video = /** @type {HTMLVideoElement} */ (document.getElementById("camera"));
const open = /** @type {HTMLButtonElement} */ (document.getElementById("camera-open"));
const stop = /** @type {HTMLButtonElement} */ (document.getElementById("camera-stop"));
const file = /** @type {HTMLInputElement} */ (document.getElementById("file"));
const OTHER_WAYS = "Choose a picture of the code, or type the code.";

/**
 * Sends a text to be looked at.
 * @param {string} text
 * @param {"page" | "file"} way
 */
function send(text, way) {
  /** @type {HTMLInputElement} */ (form.elements.namedItem("given")).value = text;
  /** @type {HTMLInputElement} */ (form.elements.namedItem("way")).value = way;
  form.requestSubmit();
}

/**
 * The picture of a source, its longer side at most so long.
 * @param {CanvasImageSource} source
 * @param {number} width
 * @param {number} height
 * @param {number} side
 */
function pixels(source, width, height, side) {
  const scale = Math.min(1, side / Math.max(width, height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(width * scale));
  canvas.height = Math.max(1, Math.round(height * scale));
  const context = canvas.getContext("2d", { willReadFrequently: true });
  if (!context) throw new Error("this browser draws no picture");
  context.drawImage(source, 0, 0, canvas.width, canvas.height);
  return context.getImageData(0, 0, canvas.width, canvas.height);
}

/* The camera. */

/** @type {MediaStream | null} */
let stream = null;

function close() {
  for (const track of stream?.getTracks() ?? []) track.stop();
  stream = null;
  video.srcObject = null;
  video.hidden = true;
  stop.hidden = true;
  open.hidden = !navigator.mediaDevices?.getUserMedia;
}

/** @param {unknown} error */
function noCamera(error) {
  const name = error instanceof DOMException ? error.name : "";
  if (name === "NotAllowedError" || name === "SecurityError") {
    return `The browser does not let this page use the camera. Allow the camera beside the address of the page, then open it again. Or: ${OTHER_WAYS}`;
  }
  if (name === "NotFoundError" || name === "OverconstrainedError") return `This device has no camera that the browser knows. ${OTHER_WAYS}`;
  if (name === "NotReadableError" || name === "AbortError") return `The camera is in use by another program. Close that one and open it again. Or: ${OTHER_WAYS}`;
  return `The camera cannot be opened (${error instanceof Error ? error.message : error}). ${OTHER_WAYS}`;
}

async function look() {
  const looking = stream;
  while (stream && stream === looking) {
    if (video.readyState >= HTMLMediaElement.HAVE_CURRENT_DATA && video.videoWidth > 0) {
      const text = await readFrame(pixels(video, video.videoWidth, video.videoHeight, 1280));
      if (!stream || stream !== looking) return;
      if (text) {
        close();
        say.textContent = "The code was read.";
        return send(text, "page");
      }
    }
    await new Promise((ready) => { setTimeout(ready, EVERY); });
  }
}

open.addEventListener("click", async () => {
  say.textContent = "The camera opens…";
  try {
    stream = await navigator.mediaDevices.getUserMedia({ audio: false, video: { facingMode: "environment", width: { ideal: 1280 }, height: { ideal: 960 } } });
    video.srcObject = stream;
    video.hidden = false;
    stop.hidden = false;
    open.hidden = true;
    stop.focus();
    await Promise.all([video.play(), prepare()]);
    say.textContent = "Hold the whole code in front of the camera. It is read by itself.";
    await look();
  } catch (error) {
    close();
    say.textContent = noCamera(error);
  }
});
stop.addEventListener("click", () => { close(); say.textContent = "The camera is off."; open.focus(); });
window.addEventListener("pagehide", close);

if (navigator.mediaDevices?.getUserMedia) open.hidden = false;
else say.textContent = `The browser gives this page no camera. ${OTHER_WAYS}`;

/* Pictures and files. */

/** @param {File} one */
async function readPicture(one) {
  const picture = await createImageBitmap(one);
  for (const side of SIDES) {
    const text = await readFrame(pixels(picture, picture.width, picture.height, side));
    if (text) return text;
  }
  return null;
}

/** @param {File} one */
async function take(one) {
  say.textContent = `Reading ${one.name}…`;
  const isPicture = one.type.startsWith("image/");
  if (!isPicture && one.size > BYTES_AT_MOST) {
    say.textContent = `${one.name} has ${Math.ceil(one.size / 1024)} kB; accepted: a log file or a table of at most ${BYTES_AT_MOST / 1024} kB. Choose the log of one programme only.`;
    return;
  }
  try {
    if (!isPicture) {
      const text = await one.text();
      if (text.includes("\0") || text.includes("\ufffd")) {
        say.textContent = `${one.name} is no text; accepted: a picture (PNG, JPEG, WebP), the log file of the practice page, or a table (CSV). Choose another file.`;
        return;
      }
      return send(text, "file");
    }
    const text = await readPicture(one);
    if (text) return send(text, "page");
    say.textContent = `No code was found in ${one.name}; accepted: a sharp picture of the whole code. Take it again from nearer, without a reflection, or type the code.`;
  } catch (error) {
    say.textContent = `${one.name} cannot be read (${error instanceof Error ? error.message : error}); accepted: a picture (PNG, JPEG, WebP), the log file, or a table (CSV). Choose another file, or type the code.`;
  }
}

/** @type {HTMLElement} */ (document.getElementById("file-way")).hidden = false;
file.addEventListener("change", async () => {
  const one = file.files?.[0];
  if (one) await take(one);
  file.value = "";
});

/* The groups of a typed code. */

const groups = /** @type {HTMLInputElement[]} */ ([...document.querySelectorAll(".typed-code input[name='group']")]);

/** @param {string} text */
const letters = (text) => text.toUpperCase().replace(/[^0-9A-Z]/g, "");

groups.forEach((group, at) => {
  group.addEventListener("input", () => {
    const typed = letters(group.value);
    if (typed.length <= 4) {
      if (group.value !== typed && group.selectionStart === group.value.length) group.value = typed;
      if (typed.length === 4 && group.selectionStart === group.value.length) groups[at + 1]?.focus();
      return;
    }
    // A whole code, or the rest of one, was put in here: it goes on from group to group.
    let rest = typed;
    for (const one of groups.slice(at)) {
      const last = one === groups.at(-1);
      one.value = last ? rest : rest.slice(0, 4);
      rest = last ? "" : rest.slice(4);
      one.focus();
      if (!rest) break;
    }
  });
  group.addEventListener("keydown", (event) => {
    if (event.key === "Backspace" && group.value === "") groups[at - 1]?.focus();
  });
});
