/* Reads the QR symbol of the practice page in a picture of the clinic's camera.

   readFrame(imageData) gives its text, or null where there is none. The decoder lies beside this file and is loaded
   when the first picture is asked about; nothing is fetched from anywhere else, and no picture leaves the page. Its
   program is WebAssembly: a page whose policy names scripts needs 'wasm-unsafe-eval' in it. */

import { prepareZXingModule, readBarcodes } from "./zxing/reader.js";

let ready = null;

/* Loads the decoder; may be called early, so that the first picture does not wait. */
export function prepare() {
  ready ??= (async () => {
    const answer = await fetch(new URL("./zxing/zxing_reader.wasm", import.meta.url));
    if (!answer.ok) throw new Error(`the decoder cannot be loaded (${answer.status}); type the code instead`);
    const wasmBinary = await answer.arrayBuffer();
    await prepareZXingModule({ overrides: { wasmBinary }, fireImmediately: true });
  })().catch((error) => {
    ready = null;
    throw error;
  });
  return ready;
}

/* The text of the symbol in a picture, or null. */
export async function readFrame(imageData) {
  await prepare();
  const found = await readBarcodes(imageData, { formats: ["QRCode"], tryHarder: true, maxNumberOfSymbols: 1 });
  const one = found.find(({ isValid, text }) => isValid && text !== "");
  return one ? one.text : null;
}
