// The schemas as editors take them: npm `ajv` on every file, and npm `yaml-language-server` without a window.
//
// Given the program: every demo, big and sweep file validates (values as YAML 1.2 has them, npm `yaml`); the language server,
// which finds each schema by the modeline of the file, marks a wrong key on its line, completes the words of a choice and shows
// the sentence of a key on which a pointer rests.
//
//     npm install --prefix DIR ajv@8.20.0 yaml@2.9.1 yaml-language-server@1.25.0
//     node tests/outside/editor.mjs DIR target/debug/wetout

import { execFileSync, spawn } from "node:child_process";
import { readFileSync, readdirSync } from "node:fs";
import { createRequire } from "node:module";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [, , modules, program] = process.argv;
const require = createRequire(join(resolve(modules), "package.json"));
const Ajv = require("ajv/dist/2020").default;
const { parse } = require("yaml");
const faults = [];
const hold = (good, words) => good || faults.push(words);

// ---- ajv ----------------------------------------------------------------------------------------------------------
const ajv = new Ajv({ strict: true, strictTypes: false, strictRequired: false, allowUnionTypes: true, allErrors: true });
const schemas = {};
for (const file of ["job", "firm", "prices", "found", "record", "stock"]) {
  schemas[file] = ajv.compile(JSON.parse(execFileSync(program, ["schema", file], { maxBuffer: 1 << 24 })));
}
const yamls = (folder) => readdirSync(folder).filter((f) => f.endsWith(".yaml")).map((f) => join(folder, f));
const jobs = readdirSync("jobs", { withFileTypes: true })
  .filter((d) => d.isDirectory() && d.name !== "schema")
  .map((d) => join("jobs", d.name, "job.yaml"));
const files = [...jobs, ...yamls("tests/big_jobs"), ...yamls("tests/jobs_for_sweep")].map((f) => ["job", f]);
files.push(["found", "jobs/bay/found.yaml"], ["found", "jobs/kitchen-extension/found.yaml"]);
files.push(["firm", "jobs/firm.yaml"], ["prices", "jobs/prices.yaml"], ["record", "jobs/kitchen-extension/record.yaml"]);
files.push(["stock", "jobs/patch-and-coat/stock.yaml"]);
for (const [kind, path] of files) {
  const valid = schemas[kind](parse(readFileSync(path, "utf8"), { maxAliasCount: 0 }));
  hold(valid, `ajv: ${path}: ${JSON.stringify((schemas[kind].errors ?? []).slice(0, 3))}`);
}

// ---- The language server --------------------------------------------------------------------------------------------
const rpc = require("vscode-jsonrpc/node");
const server = spawn("node", [require.resolve("yaml-language-server/bin/yaml-language-server"), "--stdio"]);
const connection = rpc.createMessageConnection(
  new rpc.StreamMessageReader(server.stdout),
  new rpc.StreamMessageWriter(server.stdin),
);
const told = new Map();
connection.onNotification("textDocument/publishDiagnostics", (d) => told.set(d.uri, d.diagnostics));
connection.onRequest("workspace/configuration", (q) =>
  q.items.map((i) => (i.section === "yaml" ? { validate: true, hover: true, completion: true, schemaStore: { enable: false } } : {})),
);
connection.onRequest("client/registerCapability", () => null);
connection.listen();
await connection.sendRequest("initialize", {
  processId: process.pid,
  rootUri: pathToFileURL(process.cwd()).href,
  capabilities: { textDocument: { hover: { contentFormat: ["markdown"] }, completion: {} }, workspace: { configuration: true } },
});
connection.sendNotification("initialized", {});

const wait = (ms) => new Promise((done) => setTimeout(done, ms));
let opened = 0;
/// Opens a text as if it stood beside the file at `path`, and gives its address.
async function open(path, text) {
  const uri = pathToFileURL(path.replace(/[^/]*\.yaml$/, `opened-${(opened += 1)}.yaml`)).href;
  connection.sendNotification("textDocument/didOpen", { textDocument: { uri, languageId: "yaml", version: 1, text } });
  for (let n = 0; n < 100 && !told.has(uri); n += 1) await wait(100);
  return uri;
}
const at = (text, part, beyond = 0) => {
  const offset = text.indexOf(part) + beyond;
  const before = text.slice(0, offset).split("\n");
  return { line: before.length - 1, character: before.at(-1).length };
};

const path = "jobs/kitchen-extension/job.yaml";
const good = readFileSync(path, "utf8");
const fine = await open(path, good);
hold((told.get(fine) ?? ["nothing came"]).length === 0, `a good file: ${JSON.stringify(told.get(fine))?.slice(0, 600)}`);

const wrong = good.replace("falls_to: front", "fals_to: front");
const marked = told.get(await open(path, wrong)) ?? [];
const line = at(wrong, "fals_to").line;
hold(marked.some((d) => d.range.start.line === line), `a wrong key is not marked on its line ${line}: ${JSON.stringify(marked).slice(0, 400)}`);

const unit = good.replace("eaves_height: 2.6 m", "eaves_height: 2.6 furlongs");
const refused = told.get(await open(path, unit)) ?? [];
hold(refused.some((d) => d.range.start.line === at(unit, "eaves_height").line), "a wrong unit is not marked on its line");

const hover = await connection.sendRequest("textDocument/hover", {
  textDocument: { uri: fine },
  position: at(good, "eaves_height", 3),
});
hold(JSON.stringify(hover?.contents ?? "").includes("From the ground to the eaves"), `hover shows ${JSON.stringify(hover)}`);

const begun = good.replace("falls_to: front", "falls_to: front\n    measured_to: ").replace("    measured_to: battens\n", "");
const uri = await open(path, begun);
const completed = await connection.sendRequest("textDocument/completion", {
  textDocument: { uri },
  position: at(begun, "measured_to: ", "measured_to: ".length),
});
const words = (completed?.items ?? completed ?? []).map((i) => i.label);
hold(words.includes("battens") && words.includes("fascia"), `choices are completed as ${JSON.stringify(words).slice(0, 400)}`);

server.kill();
connection.dispose();
if (faults.length > 0) {
  console.error(faults.join("\n"));
  process.exit(1);
}
console.log(`${files.length} files are valid to ajv; marks, hover and completion come from the language server`);
process.exit(0);
