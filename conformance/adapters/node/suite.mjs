// The suite as data: the manifest, the cases, and the bytes that a case is about.

import {readFileSync} from "node:fs";

const SUITE = new URL("../../", import.meta.url);

export function read(path) {
  return readFileSync(new URL(path, SUITE));
}

export function json(path) {
  return JSON.parse(read(path).toString("utf8"));
}

export function* cases() {
  for (const file of json("manifest.json").files) {
    if (file.cases > 0) {
      for (const content of json(file.path)) yield {kind: file.kind, path: file.path, content};
    }
  }
}

export function base(name) {
  return json(`bases/${name}.shade.json`);
}

export function documentOf(content) {
  let data;
  if (content.base64 !== undefined) data = Buffer.from(content.base64, "base64");
  else if (content.text !== undefined) data = Buffer.from(content.text, "utf8");
  else {
    const value = content.base === undefined ? json(`members/complete-${content.complete}.shade.json`) : base(content.base);
    data = Buffer.from(JSON.stringify(patched(value, content.patch)), "utf8");
  }
  const fill = (content.pad_to_bytes ?? 0) - data.length;
  return fill > 0 ? Buffer.concat([data, Buffer.alloc(fill, " ")]) : data;
}

// JSON Patch (RFC 6902) with add, replace and remove; changes the value.
export function patched(value, patch = []) {
  for (const {op, path, value: given} of patch) {
    const steps = path.split("/").slice(1).map((step) => step.replaceAll("~1", "/").replaceAll("~0", "~"));
    const last = steps.pop();
    const target = steps.reduce((inner, step) => inner[step], value);
    if (Array.isArray(target)) {
      const place = last === "-" ? target.length : Number(last);
      if (op === "add") target.splice(place, 0, structuredClone(given));
      else if (op === "replace") target[place] = structuredClone(given);
      else target.splice(place, 1);
    } else if (op === "remove") delete target[last];
    else target[last] = structuredClone(given);
  }
  return value;
}
