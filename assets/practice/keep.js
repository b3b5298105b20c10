/* What is kept on this phone: one encrypted value under a name of chance, both made with the file.

   All files that a phone opens from its own storage share one store in some browsers; so the name is random
   and the value is sealed with a key that lies in this file only. Nobody who holds the file is kept out. */
const footroseKeep = (() => {
  const bytes = (base64) => Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
  const text = (list) => btoa(String.fromCharCode(...list));

  function open(name, key) {
    const sealing = globalThis.crypto && crypto.subtle
      ? crypto.subtle.importKey("raw", bytes(key), "AES-GCM", false, ["encrypt", "decrypt"]).catch(() => null)
      : Promise.resolve(null);
    let line = Promise.resolve();

    async function load() {
      const cipher = await sealing;
      let sealed = null;
      try {
        if (!cipher) return { can: false, value: null };
        localStorage.setItem(`${name}-try`, "1");
        localStorage.removeItem(`${name}-try`);
        sealed = localStorage.getItem(name);
      } catch {
        return { can: false, value: null };
      }
      if (sealed === null) return { can: true, value: null };
      try {
        const [nonce, body] = sealed.split(".").map(bytes);
        const plain = await crypto.subtle.decrypt({ name: "AES-GCM", iv: nonce }, cipher, body);
        return { can: true, value: JSON.parse(new TextDecoder().decode(plain)) };
      } catch {
        return { can: true, value: null, unreadable: true };
      }
    }

    /* Writes one after the other, so that an older value never lands on a newer one. */
    function save(value) {
      const plain = new TextEncoder().encode(JSON.stringify(value));
      line = line.then(async () => {
        const cipher = await sealing;
        if (!cipher) return false;
        try {
          const nonce = crypto.getRandomValues(new Uint8Array(12));
          const body = await crypto.subtle.encrypt({ name: "AES-GCM", iv: nonce }, cipher, plain);
          const parts = [nonce, new Uint8Array(body)].map((list) => {
            let out = "";
            for (let at = 0; at < list.length; at += 6000) out += text(list.subarray(at, at + 6000));
            return out;
          });
          localStorage.setItem(name, parts.join("."));
          return true;
        } catch {
          return false;
        }
      });
      return line;
    }

    /* Takes the value away for good; what stood there can be given back until the page is closed. */
    function erase() {
      line = line.then(() => {
        try {
          localStorage.removeItem(name);
          return true;
        } catch {
          return false;
        }
      });
      return line;
    }

    return { load, save, erase };
  }

  return { open };
})();
