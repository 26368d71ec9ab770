// Runs the suite with this implementation: `npm test`, or `node run.mjs PART_OF_ID`. With --whole, as `npm test` runs
// it, a case that was skipped is a failure too, and so is a kind of which fewer cases ran than the manifest counts.
// A case that needs a code or function that is not here is counted as skipped, and the code is named. Kinds that this
// implementation does not claim (it reads and writes no foreign files and has no profiles) are counted by themselves.

import {check, KNOWN} from "./checker.mjs";
import {loadAjv, structureFaults} from "./structure.mjs";
import {base, cases, documentOf, json, patched} from "./suite.mjs";
import {NEEDS_TABLES, VECTORS} from "./vectors.mjs";
import {tablesAreThere} from "./weights.mjs";

const NOT_CLAIMED = new Set(["import", "export", "intake"]);
const EXIT = {valid: 0, invalid: 1, incomplete: 3};
const whole = process.argv.includes("--whole");
const part = process.argv.slice(2).find((each) => !each.startsWith("--")) ?? "";
const withAjv = await loadAjv();
const counts = {passed: 0, failed: 0, skipped: 0, notClaimed: 0};
const passed = new Map();
const missing = new Map();

function lacking(kind, path, content) {
  if (kind === "computation") return !tablesAreThere && NEEDS_TABLES.has(content.function) ? ["tables of CIE"] : [];
  if (kind === "structure") return withAjv ? [] : ["ajv (npm install)"];
  if (kind in VECTORS) return [];
  const own = path.split("/").at(-1).replace(".json", "");
  const codes = new Set([own, ...content.expect.findings.map(([code]) => code)]);
  const absent = [...codes].filter((code) => !KNOWN.has(code));
  if (!withAjv) absent.push("ajv (npm install)");
  return tablesAreThere ? absent : [...absent, "tables of CIE"];
}

function fault(kind, content) {
  if (kind === "structure") {
    const document = JSON.parse(documentOf(content));
    return unlike("findings", asText(content.expect.findings), asText(structureFaults(document, document.kind, false)))[0] ?? null;
  }
  if (kind !== "checking") return VECTORS[kind](content);
  const options = {...content.options};
  if (options.previous) options.previous = patched(base(options.previous.base), options.previous.patch);
  return compared(content.expect, check(documentOf(content), options));
}

const asText = (findings) => JSON.stringify(findings.map((each) => JSON.stringify(each)).sort());
const unlike = (name, one, two) => (one === two ? [] : [`${name}: expected ${one}, got ${two}`]);

function compared(expect, got) {
  const faults = [
    ...unlike("findings", asText(expect.findings), asText(got.findings)),
    ...unlike("outcome", expect.outcome, got.outcome),
    ...unlike("exit", expect.exit, EXIT[got.outcome]),
    ...unlike("partly checked", expect.partly_checked ?? false, got.partly),
    ...(expect.not_run ?? []).flatMap(([code, reason]) => unlike(`reason of ${code}`, reason, got.notRun.get(code))),
  ];
  return faults.length ? faults.join("; ") : null;
}

for (const {kind, path, content} of cases()) {
  if (!content.id.includes(part)) continue;
  if (NOT_CLAIMED.has(kind)) {
    counts.notClaimed += 1;
    continue;
  }
  const absent = lacking(kind, path, content);
  for (const each of absent) missing.set(each, (missing.get(each) ?? 0) + 1);
  const found = absent.length ? undefined : fault(kind, content);
  if (found === undefined) counts.skipped += 1;
  else if (found === null) {
    counts.passed += 1;
    passed.set(kind, (passed.get(kind) ?? 0) + 1);
  } else {
    counts.failed += 1;
    console.log(`${content.id}: ${found}`);
  }
}
for (const [what, count] of [...missing].sort()) console.log(`not implemented: ${what} (${count})`);
console.log(`${counts.passed} passed, ${counts.failed} failed, ${counts.skipped} skipped`);
console.log(`${counts.notClaimed} not claimed (kinds ${[...NOT_CLAIMED].join(", ")})`);

const short = Object.entries(json("manifest.json").totals).filter(
  ([kind, total]) => !NOT_CLAIMED.has(kind) && passed.get(kind) !== total,
);
if (whole) for (const [kind, total] of short) console.log(`${kind}: ${passed.get(kind) ?? 0} of ${total} passed`);
process.exitCode = counts.failed || !counts.passed || (whole && short.length) ? 1 : 0;
