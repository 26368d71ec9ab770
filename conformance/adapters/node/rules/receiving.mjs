// Section 9.13: intake profiles and waiver lists, whether they say what can be asked.

import {readFileSync} from "node:fs";

import {isLater} from "../times.mjs";

const CATALOGUE = JSON.parse(readFileSync(new URL("../../../../schema/rules.json", import.meta.url), "utf8"));
const SEVERITY = new Map(CATALOGUE.rules.map((rule) => [rule.code, rule.severity]));
const PROTECTED = new Set(CATALOGUE.protected);
const WEIGHTS = ["error", "warning", "note", "off"];

const weighed = ({document}, wrong, member) => (document.rules ?? []).flatMap((each, at) => (wrong(each, at) ? [`/rules/${at}/${member}`] : []));
const waivers = ({document}, wrong, step = "") => document.waivers.flatMap((each, at) => (wrong(each) ? [`/waivers/${at}${step}`] : []));

function codeUnknown(matter) {
  const never = (matter.document.waivers?.never_for ?? []).flatMap((code, at) => (SEVERITY.has(code) ? [] : [`/waivers/never_for/${at}`]));
  return [...weighed(matter, (each) => !SEVERITY.has(each.code), "code"), ...never];
}

function demandUnsound({document: {demands}}) {
  const {zones, spectrum, basis, documents, settling} = demands;
  const parts = settling ? [settling.stability, settling.visit_days_apart, settling.visits_within] : [];
  const wrong = {
    zones: zones && !zones.front && !zones.back,
    spectrum: spectrum && spectrum.from_nm >= spectrum.to_nm,
    basis: basis && [basis.illuminant, basis.observer, ...(basis.second_illuminants ?? [])].includes("unknown"),
    documents: documents && !documents.reference_sets && !documents.tolerances,
    settling: parts.includes(undefined) && parts.some((each) => each !== undefined),
  };
  const members = Object.keys(wrong).filter((name) => wrong[name]).map((name) => `/demands/${name}`);
  return Object.keys(demands).length ? members : ["/demands"];
}

const placeUnclear = ({document, entry_id: entry, member, pointer}) =>
  (document === undefined && (entry !== undefined || pointer !== undefined))
  || (entry !== undefined && pointer !== undefined) || (member !== undefined && entry === undefined);

export const RULES = {
  "profile-code-unknown": codeUnknown,
  "profile-code-repeated": (matter) => weighed(matter, (each, at) => matter.document.rules.findIndex((one) => one.code === each.code) < at, "code"),
  "profile-lowers-protected-rule": (matter) => weighed(matter, (each) => PROTECTED.has(each.code)
    && WEIGHTS.indexOf(each.weight) > WEIGHTS.indexOf(SEVERITY.get(each.code)), "weight"),
  "profile-demand-unsound": demandUnsound,
  "waiver-code-unknown": (matter) => waivers(matter, (each) => each.code !== undefined && !SEVERITY.has(each.code), "/code"),
  "waiver-subject-unclear": (matter) => waivers(matter, (each) => (each.code === undefined) === (each.demand === undefined)),
  "waiver-place-unclear": (matter) => waivers(matter, placeUnclear),
  "waiver-on-contradiction": (matter) => waivers(matter, (each) => PROTECTED.has(each.code) && SEVERITY.get(each.code) === "error", "/code"),
  "waiver-expired": (matter) => waivers(matter, (each) => each.valid_until !== undefined && isLater(matter.options.as_of, each.valid_until), "/valid_until"),
};
