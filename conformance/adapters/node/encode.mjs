// Value to text: canonical form and digest (RFC 8785), file form (section 3.2), the document as it was (section 7.3).

import {createHash} from "node:crypto";

import {namesOf} from "./decode.mjs";
import {structureFaults} from "./structure.mjs";
import {ENTRY_LISTS} from "./view.mjs";

const LOWEST = "1.0"; // the one version there is
const UNKNOWN = "structure-member-unknown-newer";

export function canonical(value) {
  if (Array.isArray(value)) return `[${value.map(canonical).join(",")}]`;
  if (value !== null && typeof value === "object") {
    const names = Object.keys(value).sort(); // JavaScript compares UTF-16 code units, as RFC 8785 wants it
    return `{${names.map((name) => `${JSON.stringify(name)}:${canonical(value[name])}`).join(",")}}`;
  }
  return JSON.stringify(value); // its numbers and escapes are those of RFC 8785
}

export function sha256(data) {
  return createHash("sha256").update(data).digest("hex");
}

export function digest(value) {
  return sha256(Buffer.from(canonical(value), "utf8"));
}

export function ancestry(revisions, id) {
  const byId = new Map(revisions.map((each) => [each.id, each]));
  const found = new Set();
  const open = [id];
  while (open.length) {
    const current = open.pop();
    if (byId.has(current) && !found.has(current)) {
      found.add(current);
      open.push(...(byId.get(current).parents ?? []).map((each) => each.revision_id));
    }
  }
  return found;
}

export function asItWas(document, revisionId) {
  const kept = ancestry(document.revisions ?? [], revisionId);
  const first = document.revisions?.[0]?.id;
  const was = {};
  for (const [name, item] of Object.entries(document)) {
    const entries = name === "revisions" || ENTRY_LISTS.includes(name);
    const own = (each) => (name === "revisions" ? each.id : each.revision_id ?? first);
    const left = entries ? item.filter((each) => kept.has(own(each))) : item;
    if (!entries || left.length) was[name] = left;
  }
  if (was.version !== LOWEST && !structureFaults(was, "case", true).some(([code]) => code === UNKNOWN)) was.version = LOWEST;
  return was;
}

// `schema` is the JSON Schema of the document's kind: its properties stand in the order of the tables.
export function fileForm(document, schema) {
  const text = (item, shape) => inline(item, shape, schema);
  const lines = inOrder(document, schema).map((name) => {
    const [item, shape] = [document[name], known(schema.properties[name], schema)];
    const list = Array.isArray(item) && item.some((each) => each !== null && typeof each === "object" && !Array.isArray(each));
    const written = list ? `[\n${item.map((each) => `    ${text(each, shape?.items)}`).join(",\n")}\n  ]` : text(item, shape);
    return `  ${JSON.stringify(name)}: ${written}`;
  });
  return `{\n${lines.join(",\n")}\n}\n`;
}

function known(shape, root) {
  const reference = shape?.$ref ?? shape?.allOf?.[0].$ref;
  return reference ? root.$defs[reference.split("/").at(-1)] : shape;
}

function inOrder(object, shape) {
  const names = Object.keys(shape?.properties ?? {}).filter((name) => Object.hasOwn(object, name));
  return [...names, ...namesOf(object).filter((name) => !names.includes(name))];
}

function inline(value, shape, root) {
  const own = known(shape, root);
  if (Array.isArray(value)) return `[${value.map((each) => inline(each, own?.items, root)).join(", ")}]`;
  if (value !== null && typeof value === "object") {
    const members = inOrder(value, own).map((name) => `${JSON.stringify(name)}: ${inline(value[name], own?.properties?.[name], root)}`);
    return `{${members.join(", ")}}`;
  }
  if (Number.isInteger(value) && !Number.isSafeInteger(value)) return value.toExponential();
  return JSON.stringify(value);
}
