// Reads documents as the types that a generator made. Compiled once for each generator, beside what that one made.

import type {Case, Reading, Zone} from "./case.js";
import type {IntakeProfile} from "./intake-profile.js";
import type {LossReport} from "./loss-report.js";
import type {NamedColour, ReferenceSet} from "./reference-set.js";
import type {Report} from "./report.js";
import type {TableMapping} from "./table-mapping.js";
import type {Tolerance} from "./tolerance.js";
import type {WaiverList} from "./waiver-list.js";

type Document = Case | IntakeProfile | LossReport | ReferenceSet | Report | TableMapping | Tolerance | WaiverList;

// What a document says, in a few words.
export function summary(text: string): string {
  const document = JSON.parse(text) as Document;
  switch (document.kind) {
    case "case":
      return ofCase(document);
    case "reference-set":
      return `${document.title}: ${document.references.map(lightness).join(", ")}`;
    case "tolerance":
      return `${document.title}: ${document.formula} up to ${document.limit.toFixed(2)}`;
    case "table-mapping":
      return `${document.title}: ${document.columns?.length ?? 0} columns`;
    case "intake-profile":
      return `${document.title}: ${document.demands?.repeats?.least ?? 1} repeats`;
    case "waiver-list":
      return `${document.title}: ${document.waivers.map((each) => each.reason.length).join(", ")}`;
    case "report":
      return `${document.outcome}: ${(document.findings ?? []).map((each) => each.code).join(", ")}`;
    case "loss-report":
      return `${document.source.file_format}: ${document.lossless}`;
  }
}

function ofCase(document: Case): string {
  const byZone = new Map<Zone, Reading[]>();
  for (const reading of document.readings ?? []) {
    byZone.set(reading.zone, [...(byZone.get(reading.zone) ?? []), reading]);
  }
  const zones = [...byZone].map(([zone, readings]) => `${zone} ${readings.length} (${readings.map(shown).join(", ")})`);
  const verdicts = (document.verdicts ?? []).map((each) => each.decision);
  return [document.id, ...zones, ...verdicts].join("; ");
}

function shown(reading: Reading): string {
  const lab = reading.colours?.find((each) => each.illuminant === "D65" && each.observer === "2-degree")?.lab;
  return lab?.L.toFixed(1) ?? reading.visual?.chosen_id ?? "-";
}

function lightness(reference: NamedColour): string {
  return `${reference.label} ${reference.colour.lab?.L ?? reference.colour.xyz?.Y ?? "-"}`;
}

// What the types have to refuse; each line would be an error of its own if they did not.
export function refused(reading: Reading): unknown[] {
  // @ts-expect-error a zone is a word of its list
  const zone: Zone = "sideways";
  // @ts-expect-error this member does not exist
  const unknown = reading.colour;
  // @ts-expect-error a colour may be absent
  const missing = reading.colours[0];
  // @ts-expect-error a colour needs its illuminant
  const colour: NamedColour["colour"] = {observer: "2-degree", decimals: 1, origin: "typed"};
  // @ts-expect-error absent is absent, never null
  const empty: Reading["note"] = null;
  return [zone, unknown, missing, colour, empty];
}
