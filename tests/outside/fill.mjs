// Fills in documents as a common browser's own viewer does when one types into its page and saves (npm `pdfjs-dist`, without the
// window): each answer is put where the viewer keeps what was typed, and the viewer writes the file.
//
//     npm install --omit=optional --prefix DIR pdfjs-dist@4.8.69
//     echo '[{"from": "quote.pdf", "to": "filled.pdf", "given": {"Acceptance: Name": "Zoë"}}]' | node tests/outside/fill.mjs DIR

import { readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const require = createRequire(join(resolve(process.argv[2]), "package.json"));
const viewer = require.resolve("pdfjs-dist/legacy/build/pdf.mjs");
const { getDocument } = await import(pathToFileURL(viewer));
const kept = join(dirname(viewer), "..", "..");

for (const { from, to, given } of JSON.parse(readFileSync(0, "utf8"))) {
  const fonts = { standardFontDataUrl: join(kept, "standard_fonts/"), cMapUrl: join(kept, "cmaps/"), cMapPacked: true };
  const opened = await getDocument({ data: new Uint8Array(readFileSync(from)), verbosity: 0, ...fonts }).promise;
  const fields = (await opened.getFieldObjects()) ?? {};
  for (const [name, answer] of Object.entries(given)) {
    for (const field of fields[name] ?? []) {
      const value = field.type === "checkbox" ? answer === "/Yes" : answer;
      opened.annotationStorage.setValue(field.id, { value });
    }
  }
  writeFileSync(to, await opened.saveDocument());
  await opened.destroy();
}
