// The structure stage (section 9.12): ajv against the JSON Schemas, its errors put into the codes of the catalogue.

import {readFileSync} from "node:fs";

const SCHEMAS = new URL("../../../schema/1.0/", import.meta.url);
const CODES = {
  additionalProperties: "structure-member-unknown",
  required: "structure-member-missing",
  type: "structure-type-wrong",
  enum: "structure-word-unknown",
  const: "structure-word-unknown",
  pattern: "structure-text-malformed",
  propertyNames: "structure-text-malformed",
  minimum: "structure-number-out-of-range",
  maximum: "structure-number-out-of-range",
  exclusiveMinimum: "structure-number-out-of-range",
  exclusiveMaximum: "structure-number-out-of-range",
  minItems: "structure-too-few",
  minLength: "structure-too-few",
  minProperties: "structure-too-few",
  maxLength: "structure-too-long",
};
const compiled = new Map();
let Ajv = null;

export async function loadAjv() {
  try {
    Ajv = (await import("ajv/dist/2020.js")).default;
  } catch {
    Ajv = null;
  }
  return Ajv !== null;
}

export function schemaOf(kind) {
  return JSON.parse(readFileSync(new URL(`${kind}.schema.json`, SCHEMAS), "utf8"));
}

function validator(kind) {
  if (!compiled.has(kind)) compiled.set(kind, new Ajv({allErrors: true, strict: true, strictTypes: false}).compile(schemaOf(kind)));
  return compiled.get(kind);
}

// [code, pointer] of every fault; `newer` says that the document states a newer minor version.
export function structureFaults(document, kind, newer) {
  const validate = validator(kind);
  if (validate(newer ? {...document, version: "1.0"} : document)) return [];
  const faults = [];
  const said = new Map();
  for (const error of validate.errors) {
    if (error.propertyName !== undefined && error.keyword !== "propertyNames") continue; // said by propertyNames
    const at = error.instancePath;
    let code = CODES[error.keyword] ?? "structure-unsound";
    if (code === "structure-member-unknown" || code === "structure-member-missing") {
      faults.push([newer && code === "structure-member-unknown" ? `${code}-newer` : code, at]);
    } else {
      if (code === "structure-word-unknown" && typeof valueAt(document, at) !== "string") code = "structure-type-wrong";
      const subject = error.keyword === "propertyNames" ? `${at}/${error.params.propertyName}` : at;
      if (!said.has(subject) || code === "structure-type-wrong") said.set(subject, [code, at]);
    }
  }
  return [...faults, ...said.values()];
}

// A copy of a document without the members that its schema does not know.
export function knownPart(document, kind, newer) {
  const copy = structuredClone(document);
  const validate = validator(kind);
  if (validate(newer ? {...document, version: "1.0"} : document)) return copy;
  for (const {keyword, instancePath, params} of validate.errors) {
    if (keyword === "additionalProperties") delete valueAt(copy, instancePath)[params.additionalProperty];
  }
  return copy;
}

function valueAt(document, pointer) {
  const steps = pointer.split("/").slice(1).map((step) => step.replaceAll("~1", "/").replaceAll("~0", "~"));
  return steps.reduce((inner, step) => inner?.[step], document);
}
