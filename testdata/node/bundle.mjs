// Validates FHIR bundles (JSON, R4) by the published JSON schema and by a general validator, and prints for each file
// what they find: [{file, schema: […], general: […]}].
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { createRequire } from "node:module";
import { pathToFileURL } from "node:url";

const [modules, ...files] = process.argv.slice(2);
const require = createRequire(pathToFileURL(join(modules, "x.js")));
const Schema = require("@asymmetrik/fhir-json-schema-validator");
const { Fhir } = require("fhir");

const schema = new Schema(), general = new Fhir();
const all = files.map((file) => {
  const bundle = JSON.parse(readFileSync(file, "utf8"));
  // Each resource by itself too: the message then names its type.
  const parts = [bundle, ...(Array.isArray(bundle.entry) ? bundle.entry : []).map((e) => e?.resource).filter((r) => r?.resourceType)];
  const say = (e) => (typeof e === "string" ? e : `${e.dataPath} ${e.message}`);
  return {
    file,
    schema: [...new Set(parts.flatMap((p) => (schema.validator(p) ? [] : [`${p.resourceType}: ` + schema.validator.errors.slice(0, 3).map(say).join("; ")])))],
    general: general.validate(bundle, { errorOnUnexpected: true }).messages.filter((m) => m.severity === "error" || m.severity === "fatal")
      .map((m) => `${m.location} ${m.message}`),
  };
});
console.log(JSON.stringify(all));
