// Bytes to findings: syntax, version, structure, rules (section 9), as far as this implementation goes.

import {readdirSync, readFileSync} from "node:fs";

import {decode} from "./decode.mjs";
import {RULES} from "./rules/index.mjs";
import {knownPart, structureFaults} from "./structure.mjs";
import {View} from "./view.mjs";

const CATALOGUE = JSON.parse(readFileSync(new URL("../../../schema/rules.json", import.meta.url), "utf8")).rules;
const SEVERITY = new Map(CATALOGUE.map((rule) => [rule.code, rule.severity]));
const KINDS = readdirSync(new URL("../../../schema/1.0/", import.meta.url))
  .filter((name) => name.endsWith(".schema.json")).map((name) => name.replace(".schema.json", ""));
const LIMITS = ["syntax-too-large", "syntax-too-deep"];

// Codes that this implementation reports; the stages before the rules are complete.
export const KNOWN = new Set(CATALOGUE.filter((rule) => rule.stage !== "rules" || rule.code in RULES).map((rule) => rule.code));

export function check(data, options = {}) {
  const {value, faults} = decode(data);
  const answer = {findings: faults, partly: faults.some(([code]) => LIMITS.includes(code)), notRun: new Map()};
  const kind = value === undefined ? null : versionStage(value, answer);
  if (kind === null) block(answer, null);
  else laterStages(value, kind, options, answer);
  const errors = answer.findings.some(([code]) => SEVERITY.get(code) === "error");
  return {...answer, outcome: errors ? "invalid" : answer.partly ? "incomplete" : "valid"};
}

function versionStage(root, answer) {
  const found = (code, pointer) => {
    answer.findings.push([code, pointer]);
    return null;
  };
  if (root === null || typeof root !== "object" || Array.isArray(root)) return found("version-root-not-object", "");
  if (root.format !== "shadefmt") return found("version-format-missing", "");
  const parts = typeof root.version === "string" ? /^(0|[1-9][0-9]{0,2})\.(0|[1-9][0-9]{0,2})$/.exec(root.version) : null;
  if (!parts) return found("version-unstated", "");
  if (Number(parts[1]) !== 1) {
    answer.partly = true;
    return found("version-major-unknown", "/version");
  }
  if (Number(parts[2]) > 0) {
    answer.partly = true;
    found("version-newer", "/version");
  }
  return KINDS.includes(root.kind) ? root.kind : found("version-kind-unknown", "");
}

function laterStages(document, kind, options, answer) {
  const newer = answer.findings.some(([code]) => code === "version-newer");
  const faults = structureFaults(document, kind, newer);
  answer.findings.push(...faults);
  if (faults.some(([code]) => !code.startsWith("structure-member-unknown"))) {
    block(answer, kind);
    return;
  }
  for (const [at] of (document.extensions_required ?? []).entries()) {
    answer.findings.push(["extension-required-unknown", `/extensions_required/${at}`]);
    answer.partly = true;
  }
  const matter = {document, known: faults.length ? knownPart(document, kind, newer) : document, options, view: kind === "case" ? new View(document) : null};
  for (const {code, needs = [], asks} of rulesOf(kind)) {
    if (!needs.every((member) => member in document)) answer.notRun.set(code, "not-applicable");
    else if (asks !== undefined && options[asks] === undefined) answer.notRun.set(code, "not-supplied");
    else for (const pointer of RULES[code](matter)) answer.findings.push([code, pointer]);
  }
}

function rulesOf(kind) {
  return CATALOGUE.filter((rule) => rule.code in RULES && (kind === null || rule.kinds.includes(kind)));
}

function block(answer, kind) {
  for (const {code} of rulesOf(kind)) answer.notRun.set(code, "blocked");
}
