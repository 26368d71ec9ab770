// Section 9.6: what may be compared and judged.

import {decision, difference, halfUnit, mean as meanOf, nine} from "../colour.mjs";
import {same} from "../view.mjs";
import {factorsFit, factorsOf, scaled} from "./recomputation.mjs";

const NEAR = new Set([
  "up-to-perceptible", "up-to-acceptable", "up-to-twice-acceptable", "up-to-three-times-acceptable", "beyond-acceptable",
  "beyond-three-times-acceptable",
]);
const TISSUES = {
  tooth: ["tooth"], stump: ["tooth"], restoration: ["tooth", "gingiva", "denture-base", "material"], gingiva: ["gingiva"],
  "denture-base": ["denture-base", "gingiva"], "guide-tab": ["tooth", "material"],
  "material-disc": ["tooth", "material", "denture-base"], "check-patch": ["material"],
};
const KEPT_OUT = ["wrong-zone", "wrong-specimen", "duplicate", "mistyped", "superseded"];

const judged = (matter, wrong, step = "") => matter.view.judgements.filter(wrong).map(({pointer}) => `${pointer}${step}`);
const numeric = (matter, wrong, step) => judged(matter, (each) => each.numeric && wrong(each), step);
const sidesOf = (view, {standard_id: one, trial_id: two}) => [["standard_id", view.entries.get(one)], ["trial_id", view.entries.get(two)]].filter(([, side]) => side);

// Comparisons that count and that no verdict which counts is about.
function unjudged({view}, count) {
  const named = new Set(view.judgements.map((each) => each.verdict.comparison_id));
  return view.list("comparisons").flatMap((each, at) =>
    (named.has(each.id) || !view.counts(each) ? [] : Array(count(each)).fill(`/comparisons/${at}`)));
}

const each = ({view}, made) => view.list("comparisons").flatMap((entry, at) => made(entry, `/comparisons/${at}`));

const basisUnknown = (matter) => each(matter, (entry, pointer) =>
  ["illuminant", "observer"].filter((member) => entry[member] === "unknown").map((member) => `${pointer}/${member}`));

const basisDiffers = (matter) => each(matter, (entry, pointer) => sidesOf(matter.view, entry)
  .filter(([, side]) => entry.illuminant !== "unknown" && entry.observer !== "unknown"
    && matter.view.colours(side).length > 0 && !matter.view.colour(side, entry.illuminant, entry.observer))
  .map(([member]) => `${pointer}/${member}`));

const colourMissing = (matter) => each(matter, (entry, pointer) => sidesOf(matter.view, entry).filter(([, side]) => {
  const fitting = matter.view.colour(side, entry.illuminant, entry.observer);
  return matter.view.colours(side).length === 0 || (fitting && !fitting.lab);
}).map(([member]) => `${pointer}/${member}`));

function otherSpecimen(matter) {
  const {view} = matter;
  return each(matter, (entry, pointer) => {
    const target = view.find(entry.standard_id, "targets");
    const read = view.readingsBehind(view.entries.get(entry.trial_id));
    const fits = read.some((reading) => [reading.specimen_id, view.specimen(reading)?.part_of_id].includes(target?.specimen_id));
    return target && ["match", "quality-control"].includes(entry.question) && read.length && !fits ? [`${pointer}/trial_id`] : [];
  });
}

function drying(view, side) {
  return view.readingsBehind(side).filter((reading) => ["tooth", "stump"].includes(view.specimen(reading)?.kind));
}

function hydrationDiffers(view, comparison) {
  if (comparison.question === "handover") return false;
  const sides = [comparison.standard_id, comparison.trial_id].map((id) => new Set(drying(view, view.entries.get(id))
    .map((reading) => reading.hydration).filter((word) => word && word !== "unknown" && word !== "not-applicable")));
  return sides.every((side) => side.size) && ![...sides[0]].some((word) => sides[1].has(word));
}

function geometryDiffers(view, comparison) {
  return ["geometry", "specular"].filter((member) => {
    const sides = [comparison.standard_id, comparison.trial_id].map((id) => new Set(
      [...view.instruments(view.readingsBehind(view.entries.get(id)))].map((instrument) => view.find(instrument, "instruments")?.[member])
        .filter((word) => word && word !== "unknown")));
    return sides.every((side) => side.size) && !same(...sides);
  }).length;
}

export function zonesDiffer(view, comparison) {
  const sides = located(view, comparison).map((side) => new Set(
    (side?.list === "targets" ? [side.entry.zone] : view.readingsBehind(side).map((reading) => reading.zone))
      .filter((zone) => zone !== "unknown").map((zone) => (zone === "occlusal" ? "incisal" : zone))));
  return sides.every((side) => side.size) && !same(...sides);
}

const located = (view, {standard_id: one, trial_id: two}) => [view.entries.get(one), view.entries.get(two)];
const bothSides = (view, {standard, trial}, of) => [standard, trial].map((side) => of(view.readingsBehind(side)));
const names = (comparison) => (comparison.uncertainty?.components ?? []).some((component) => component.source === "inter-instrument");

export function unbridged(view, comparison) {
  const sides = located(view, comparison).map((side) => view.instruments(view.readingsBehind(side)));
  return sides.every((side) => side.size) && !same(...sides) && !names(comparison) && !view.bridged(new Set([...sides[0], ...sides[1]]));
}

function unstated(view, judgement) {
  const sides = bothSides(view, judgement, (readings) => readings);
  const sessions = sides.map((side) => new Set(side.map((reading) => reading.session_id)));
  if (sides.some((side) => side.length === 0) || same(...sessions) || names(judgement.comparison)) return false;
  return sides.flat().some((reading) => view.takenBy(reading) !== "eye" && view.session(reading)?.instrument_id === undefined);
}

function geometryUnknown(view, judgement) {
  const ids = new Set(bothSides(view, judgement, (readings) => [...view.instruments(readings)]).flat());
  const used = [...ids].map((id) => view.find(id, "instruments")).filter((instrument) => instrument !== undefined);
  return used.length > 1 && used.some(({geometry}) => geometry === undefined || geometry === "unknown");
}

const perSide = (matter, wrong) => matter.view.judgements.filter((judgement) => judgement.numeric)
  .flatMap((judgement) => [judgement.standard, judgement.trial].filter((side) => wrong(side, judgement)).map(() => judgement.pointer));

function otherQuestion({comparison, tolerance, verdict}) {
  if (!comparison) return false;
  const grades = verdict.grade ? [verdict.grade] : (tolerance?.grades ?? []).map((entry) => entry.grade);
  return grades.some((grade) => NEAR.has(grade) === (comparison.question === "change"));
}

const tolerances = ({document, view}) => (document.kind === "tolerance" ? [[document, ""]] : view.list("tolerances").map((entry, at) => [entry, `/tolerances/${at}`]));

function outOfOrder(matter) {
  return tolerances(matter).flatMap(([{grades = []}, pointer]) => {
    const at = grades.findIndex(({at_most: limit}, place) => (limit === undefined ? place < grades.length - 1 : limit <= grades[place - 1]?.at_most));
    return at < 0 ? [] : [`${pointer}/grades/${at}`];
  });
}

function decidedByExclusion(view, judgement) {
  const {comparison, tolerance} = judgement;
  const labs = [view.lab(comparison.standard_id, comparison), view.lab(comparison.trial_id, comparison)];
  if (!tolerance || labs.includes(undefined) || !factorsFit(comparison)) return false;
  const whole = [judgement.standard, judgement.trial].map((side) => withWithdrawn(view, side));
  if (whole.every((lab) => lab === null)) return false;
  const size = difference(comparison.formula, ...labs.map((lab, at) => whole[at] ?? lab), factorsOf(comparison));
  const [without, within] = [comparison.difference, Number(size.toFixed(comparison.decimals))]
    .map((each) => decision(tolerance.decision_rule, each, tolerance.limit, scaled(judgement)));
  return without !== within;
}

function withWithdrawn(view, side) {
  const located = side?.list === "targets" ? view.entries.get(side.entry.source_id) : side;
  if (located?.list !== "means") return null;
  const mean = located.entry;
  const own = view.readingsBehind(located);
  const labs = own.map((reading) => view.averaged(reading, mean));
  if (!own.length || labs.includes(undefined)) return null;
  const place = (reading) => JSON.stringify([reading.specimen_id, reading.zone, reading.session_id]);
  const back = view.list("readings").filter((reading) => place(reading) === place(own[0]) && view.withdrawn.has(reading.id)
    && !mean.reading_ids.includes(reading.id)
    && !view.list("withdrawals").some((each) => each.entry_id === reading.id && KEPT_OUT.includes(each.reason)))
    .map((reading) => view.lab(reading.id, mean.colour)).filter((lab) => lab);
  return back.length ? meanOf([...labs, ...back]) : null;
}

const guarded = ({tolerance}) => tolerance && tolerance.decision_rule !== "simple";

export const RULES = {
  "comparison-basis-unknown": basisUnknown,
  "comparison-basis-differs": basisDiffers,
  "comparison-colour-missing": colourMissing,
  "comparison-of-other-specimen": otherSpecimen,
  "hydration-differs-in-verdict": (matter) => numeric(matter, ({comparison}) => hydrationDiffers(matter.view, comparison)),
  "hydration-differs-in-comparison": (matter) => unjudged(matter, (entry) => (hydrationDiffers(matter.view, entry) ? 1 : 0)),
  "hydration-unknown-in-verdict": (matter) => perSide(matter, (side) => drying(matter.view, side).some((reading) => ["unknown", undefined].includes(reading.hydration))),
  "geometry-differs-in-verdict": ({view}) => view.judgements.filter((judgement) => judgement.numeric)
    .flatMap(({comparison, pointer}) => Array(geometryDiffers(view, comparison)).fill(pointer)),
  "geometry-differs-in-comparison": (matter) => unjudged(matter, (entry) => geometryDiffers(matter.view, entry)),
  "geometry-unknown-in-verdict": (matter) => numeric(matter, (judgement) => geometryUnknown(matter.view, judgement)),
  "zones-differ-in-verdict": (matter) => numeric(matter, ({comparison}) => zonesDiffer(matter.view, comparison)),
  "kinds-mixed-in-verdict": (matter) => numeric(matter, (judgement) => {
    const sides = bothSides(matter.view, judgement, (readings) => matter.view.kinds(readings));
    return sides.every((side) => side.size) && new Set([...sides[0], ...sides[1]]).size > 1;
  }),
  "instruments-unbridged-in-verdict": (matter) => numeric(matter, ({comparison}) => unbridged(matter.view, comparison)),
  "instrument-unstated-in-verdict": (matter) => numeric(matter, (judgement) => unstated(matter.view, judgement)),
  "tolerance-of-other-formula": (matter) => judged(matter, ({comparison, tolerance}) => comparison && tolerance
    && (comparison.formula !== tolerance.formula || String(factorsOf(comparison)) !== String(factorsOf(tolerance))), "/tolerance_id"),
  "tolerance-of-other-tissue": (matter) => judged(matter, ({tolerance, trial}) => tolerance && matter.view.readingsBehind(trial)
    .some((reading) => matter.view.specimen(reading) && !TISSUES[matter.view.specimen(reading).kind].includes(tolerance.tissue)), "/tolerance_id"),
  "tolerance-of-other-question": (matter) => judged(matter, otherQuestion),
  "tolerance-source-missing": ({view}) => view.list("tolerances").flatMap((entry, at) => (entry.source || entry.agreed_by_ids ? [] : [`/tolerances/${at}`])),
  "grades-out-of-order": outOfOrder,
  "coverage-factor-missing": (matter) => tolerances(matter)
    .filter(([entry]) => entry.decision_rule !== "simple" && entry.coverage_factor === undefined).map(([, pointer]) => pointer),
  "verdict-without-tolerance": (matter) => judged(matter, ({decided, verdict}) => decided && verdict.tolerance_id === undefined),
  "decision-without-uncertainty": (matter) => numeric(matter, (judgement) => guarded(judgement) && !judgement.comparison.uncertainty, "/decision"),
  "decision-unreachable": (matter) => judged(matter, (judgement) => guarded(judgement) && nine(scaled(judgement) ?? 0) >= nine(judgement.tolerance.limit)),
  "verdict-near-limit": (matter) => numeric(matter, (judgement) => judgement.tolerance?.decision_rule === "simple" && scaled(judgement) !== undefined
    && nine(Math.abs(judgement.comparison.difference - judgement.tolerance.limit)) < nine(scaled(judgement)), "/decision"),
  "obstacle-unstated": (matter) => judged(matter, ({verdict}) => (verdict.decision === "cannot-be-compared") !== (verdict.obstacles !== undefined)),
  "verdict-from-few-readings": (matter) => perSide(matter, (side) => [1, 2].includes(matter.view.readingsBehind(side).length)),
  "verdict-about-reference-not-tooth": (matter) => judged(matter, ({standard, comparison}) => comparison && comparison.question !== "quality-control"
    && ((standard?.list === "targets" && standard.entry.source_kind === "chosen-reference") || (standard?.list === "references" && comparison.question === "match"))),
  "exclusion-decides-verdict": (matter) => numeric(matter, (judgement) => decidedByExclusion(matter.view, judgement)),
  "colour-too-coarse-for-tolerance": (matter) => perSide(matter, (side, {tolerance, comparison}) => {
    const colour = matter.view.colour(side, comparison.illuminant, comparison.observer);
    return tolerance && colour && Math.sqrt(3) * halfUnit(colour.decimals) > tolerance.limit / 6;
  }),
};
