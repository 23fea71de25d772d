// Prints the part of the published FHIR R4 definitions that forms/exchange checks its bundles against: elements with
// their cardinality, types, targets of references and required codes, and the patterns of primitive types.
import { readFileSync } from "node:fs";
import { join } from "node:path";

const [folder, ...wanted] = process.argv.slice(2);
const read = (name) => JSON.parse(readFileSync(join(folder, name), "utf8")).entry.map((e) => e.resource);
const all = new Map();
for (const r of [...read("profiles-types.json"), ...read("profiles-resources.json")]) {
  if (r.resourceType === "StructureDefinition" && r.derivation !== "constraint") all.set(r.name, r);
}
const terms = new Map([...read("valuesets.json"), ...read("v3-codesystems.json")].map((r) => [`${r.resourceType} ${r.url}`, r]));

// Extensions hold anything; ours hold only these.
const extensionValues = ["boolean", "code"];
const types = {}, patterns = {}, codes = {};

// system|code of every concept of a value set; nothing where one of its systems is not published with the standard.
function expand(url) {
  const set = terms.get(`ValueSet ${url}`);
  if (!set?.compose || set.compose.exclude) return undefined;
  const out = [];
  const walk = (system, concepts) => concepts.forEach((c) => { out.push(`${system}|${c.code}`); walk(system, c.concept ?? []); });
  for (const part of set.compose.include) {
    if (part.valueSet || part.filter) return undefined;
    const system = terms.get(`CodeSystem ${part.system}`);
    if (!part.concept && system?.content !== "complete") return undefined;
    walk(part.system, part.concept ?? system.concept ?? []);
  }
  return [...new Set(out)].sort();
}

function primitive(name) {
  if (patterns[name]) return;
  const value = all.get(name).snapshot.element.find((e) => e.path.endsWith(".value"));
  const regex = value?.type?.[0]?.extension?.find((x) => x.url.endsWith("regex"))?.valueString;
  if (regex) patterns[name] = regex;
}

function typeNames(element) {
  return (element.type ?? []).map((t) => {
    const url = t.extension?.find((x) => x.url.endsWith("fhir-type"))?.valueUrl;
    return (url ?? t.code).replace("http://hl7.org/fhirpath/System.String", "string");
  });
}

function add(name) {
  if (types[name] || name === "Resource") return;
  const definition = all.get(name);
  if (!definition) throw new Error(`no definition of ${name}`);
  if (definition.kind === "primitive-type") return primitive(name);
  const elements = definition.snapshot.element;
  types[name] = {};
  for (const e of elements.slice(1)) {
    const cut = e.path.lastIndexOf(".");
    const [owner, key] = [e.path.slice(0, cut), e.path.slice(cut + 1)];
    if (e.max === "0") continue;
    let named = typeNames(e);
    if (owner === "Extension" && key === "value[x]") named = extensionValues;
    if (elements.some((x) => x.path.startsWith(e.path + "."))) named = [e.path];
    if (e.contentReference) named = [e.contentReference.slice(1)];
    const entry = { min: e.min, max: e.max, types: named };
    const targets = (e.type ?? []).flatMap((t) => t.targetProfile ?? []).map((u) => u.split("/").pop());
    if (targets.length && !targets.includes("Resource")) entry.targets = [...new Set(targets)];
    if (e.binding?.strength === "required" && e.binding.valueSet) {
      const url = e.binding.valueSet.split("|")[0];
      const found = codes[url] ?? expand(url);
      if (found) { codes[url] = found; entry.codes = url; }
    }
    (types[owner] ??= {})[key] = entry;
    named.filter((n) => !n.includes(".") && n !== "Resource").forEach(add);
  }
}

wanted.forEach(add);
// Codes of the systems that bundles use beside required ones.
const systems = {};
for (const name of ["consentscope", "data-absent-reason", "adverse-event-outcome", "adverse-event-seriousness"]) {
  const url = `http://terminology.hl7.org/CodeSystem/${name}`;
  const found = terms.get(`CodeSystem ${url}`);
  if (found?.content !== "complete") throw new Error(`no codes of ${url}`);
  const walk = (concepts) => concepts.flatMap((c) => [c.code, ...walk(c.concept ?? [])]);
  systems[url] = walk(found.concept).sort();
}
const sorted = (o) => Object.fromEntries(Object.entries(o).sort(([a], [b]) => (a < b ? -1 : 1)));
console.log(JSON.stringify({ version: "4.0.1", resources: wanted.sort(), patterns: sorted(patterns), codes: sorted(codes), systems, types: sorted(types) }, null, 1));
