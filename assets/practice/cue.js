/* Beep, voice, buzz, and a screen that stays on. Each may be missing; nothing depends on one of them. */
const footroseCue = (() => {
  let sound = null;
  let lock = null;
  let wanted = false;

  /* To be called in a tap: only then may a page make a sound. */
  function unlock() {
    try {
      sound = sound ?? new (globalThis.AudioContext ?? globalThis.webkitAudioContext)();
      sound.resume();
    } catch {
      sound = null;
    }
  }

  function beep(pitch, seconds = 0.12) {
    if (!sound || sound.state !== "running") return;
    try {
      const tone = sound.createOscillator();
      const level = sound.createGain();
      const now = sound.currentTime;
      tone.frequency.value = pitch;
      level.gain.setValueAtTime(0.0001, now);
      level.gain.exponentialRampToValueAtTime(0.4, now + 0.015);
      level.gain.exponentialRampToValueAtTime(0.0001, now + seconds);
      tone.connect(level).connect(sound.destination);
      tone.start(now);
      tone.stop(now + seconds + 0.02);
    } catch {
      sound = null;
    }
  }

  /* A voice that lives on this phone; none where every voice asks a machine elsewhere. */
  function voice(lang) {
    if (!globalThis.speechSynthesis) return null;
    const all = speechSynthesis.getVoices().filter((one) => one.localService === true);
    return all.find((one) => one.lang.toLowerCase().startsWith(lang)) ?? null;
  }

  function say(words, lang) {
    const chosen = voice(lang);
    if (!chosen) return;
    try {
      const saying = new SpeechSynthesisUtterance(words);
      saying.voice = chosen;
      saying.lang = chosen.lang;
      speechSynthesis.cancel();
      speechSynthesis.speak(saying);
    } catch {
      /* The screen says it. */
    }
  }

  function hush() {
    if (globalThis.speechSynthesis) speechSynthesis.cancel();
  }

  const canBuzz = () => typeof navigator.vibrate === "function";

  function buzz(pattern) {
    if (canBuzz()) navigator.vibrate(pattern);
  }

  const canStayOn = () => "wakeLock" in navigator;

  async function hold() {
    if (!wanted || !canStayOn() || document.visibilityState !== "visible") return;
    try {
      lock = await navigator.wakeLock.request("screen");
    } catch {
      lock = null;
    }
  }

  function stayOn(on) {
    wanted = on;
    if (on) {
      hold();
    } else if (lock) {
      lock.release().catch(() => {});
      lock = null;
    }
  }
  document.addEventListener("visibilitychange", hold);

  return { unlock, beep, voice, say, hush, canBuzz, buzz, canStayOn, stayOn };
})();
