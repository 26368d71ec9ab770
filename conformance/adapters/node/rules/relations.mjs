// What holds entries together, appearance beside difference, and what repeats say of an uncertainty.

import {covariance, difference, halfUnit, labToXyz} from "../colour.mjs";
import {coordinates} from "../view.mjs";
import {whitePoint} from "../weights.mjs";
import {factorsFit, factorsOf} from "./recomputation.mjs";

const WORST_FIRST = ["does-not-conform", "conditionally-fails", "cannot-be-compared", "conditionally-conforms", "not-judged", "conforms"];
const NEAR_WHITE = ["D65 2-degree", "D65 10-degree"];
const DEFINED = {
  WI_D: ["D65 2-degree"], "CIE-whiteness": NEAR_WHITE, "CIE-tint": NEAR_WHITE, WIO: NEAR_WHITE,
  "YI-E313": [...NEAR_WHITE, "C 2-degree", "C 10-degree"],
};

const listed = ({view}, name, wrong, step = "") => view.list(name).flatMap((each, at) => (wrong(each, at) ? [`/${name}/${at}${step}`] : []));
const basisOf = ({illuminant, observer}) => `${illuminant} ${observer}`;

function hidesWorst(matter) {
  return listed(matter, "conclusions", (each) => {
    const decisions = each.verdict_ids.map((id) => matter.view.find(id, "verdicts")).filter((verdict) => verdict && matter.view.counts(verdict))
      .map((verdict) => verdict.decision);
    const worst = WORST_FIRST.find((word) => decisions.includes(word));
    return worst !== undefined && each.decision !== worst;
  }, "/decision");
}

function leavesOut({view}) {
  return view.list("conclusions").flatMap((each, at) => {
    const group = view.find(each.group_id, "groups");
    const about = view.judgements.filter(({trial}) => view.readingsBehind(trial).some((reading) => group?.specimen_ids.includes(reading.specimen_id)));
    return about.filter(({verdict}) => !each.verdict_ids.includes(verdict.id)).map(() => `/conclusions/${at}/verdict_ids`);
  });
}

function nearWhite(matter) {
  return listed(matter, "indices", (each) => {
    const basis = basisOf(each);
    const lab = matter.view.lab(each.of_id, each);
    if (!["CIE-whiteness", "CIE-tint"].includes(each.index) || !NEAR_WHITE.includes(basis) || !lab) return false;
    const white = whitePoint(each.illuminant, each.observer);
    const xyz = labToXyz(lab, white);
    const [[x, y], [x_n, y_n]] = [xyz, white].map(([X, Y, Z]) => [X / (X + Y + Z), Y / (X + Y + Z)]);
    const W = xyz[1] + 800 * (x_n - x) + 1700 * (y_n - y);
    const T = (each.observer === "2-degree" ? 1000 : 900) * (x_n - x) - 650 * (y_n - y);
    return !(W > 40 && W < 5 * xyz[1] - 280 && T > -4 && T < 2);
  });
}

function behindTranslucency({view}, each) {
  return [each.over_white_id, each.over_black_id].flatMap((id) => view.readingsBehind(view.entries.get(id)));
}

function exchanged(matter) {
  return listed(matter, "translucencies", (each) => {
    const [white, black] = [matter.view.lab(each.over_white_id, each), matter.view.lab(each.over_black_id, each)];
    return white && black && black[0] > white[0] + 0.5;
  });
}

function patchMoved({view}) {
  const first = new Map();
  return view.list("readings").flatMap((each, at) => {
    const instrument = view.session(each)?.instrument_id;
    const patch = each.role === "check-patch" || view.specimen(each)?.kind === "check-patch";
    if (!patch || !view.counts(each) || instrument === undefined) return [];
    return (each.colours ?? []).filter((colour) => colour.lab && colour.origin === "instrument").flatMap((colour) => {
      const key = JSON.stringify([each.specimen_id, instrument, basisOf(colour)]);
      if (!first.has(key)) first.set(key, coordinates(colour));
      return difference("CIEDE2000", first.get(key), coordinates(colour)) > 0.5 ? [`/readings/${at}`] : [];
    });
  });
}

// Covariance matrix of the mean of three readings or more behind a side, null where there is none.
export function spreadOf(view, id) {
  const named = view.entries.get(id);
  const located = named?.list === "targets" ? view.entries.get(named.entry.source_id) : named;
  if (located?.list !== "means") return null;
  const labs = view.readingsBehind(located).map((reading) => view.averaged(reading, located.entry)).filter((lab) => lab);
  if (labs.length < 3) return null;
  const [LL, aa, bb, La, Lb, ab] = covariance(labs, "mean");
  return [[LL, La, Lb], [La, aa, ab], [Lb, ab, bb]];
}

export function variance(matrix, slope) {
  return matrix.reduce((total, row, one) => total + row.reduce((sum, value, two) => sum + value * slope[one] * slope[two], 0), 0);
}

// Sides less than 0.05 apart have no gradient and are left to other implementations.
function belowSpread(matter) {
  const {view} = matter;
  const step = 1e-4;
  return listed(matter, "comparisons", (each) => {
    const sides = [view.lab(each.standard_id, each), view.lab(each.trial_id, each)];
    const spreads = [spreadOf(view, each.standard_id), spreadOf(view, each.trial_id)];
    if (!each.uncertainty || sides.includes(undefined) || spreads.includes(null) || !factorsFit(each)) return false;
    const size = (pair) => difference(each.formula, ...pair, factorsOf(each));
    if (size(sides) < 0.05) return false;
    const slopes = sides.map((lab, side) => lab.map((_, axis) => {
      const ends = [step, -step].map((move) => size(sides.map((other, at) => (at === side ? other.map((value, i) => value + (i === axis ? move : 0)) : other))));
      return (ends[0] - ends[1]) / (2 * step);
    }));
    const least = each.uncertainty.coverage_factor * Math.sqrt(variance(spreads[0], slopes[0]) + variance(spreads[1], slopes[1]));
    return each.uncertainty.expanded < 0.9 * least - halfUnit(each.uncertainty.decimals);
  }, "/uncertainty/expanded");
}

export const RULES = {
  "conclusion-hides-worst": hidesWorst,
  "conclusion-leaves-out": leavesOut,
  "relation-empty": (matter) => listed(matter, "relations", ({other}) => other.id === undefined && other.sha256 === undefined && other.on_paper !== true, "/other"),
  "layer-empty": ({view}) => view.list("prescriptions").flatMap(({layers = []}, at) => layers.flatMap((layer, place) =>
    (layer.reference_id === undefined && layer.material === undefined ? [`/prescriptions/${at}/layers/${place}`] : []))),
  "acceptance-missing-at-closing": (matter) => (matter.view.counting("events").some((each) => each.kind === "acceptance") ? []
    : listed(matter, "events", (each) => matter.view.counts(each) && each.kind === "closed")),
  "index-basis-unsuited": (matter) => listed(matter, "indices", (each) => !DEFINED[each.index].includes(basisOf(each))),
  "index-outside-definition": nearWhite,
  "backings-exchanged": exchanged,
  "backing-undescribed": (matter) => listed(matter, "translucencies", (each) => behindTranslucency(matter, each)
    .some((reading) => matter.view.find(reading.backing_id, "backings")?.colour === undefined)),
  "translucency-thickness-missing": (matter) => listed(matter, "translucencies", (each) => each.thickness_mm === undefined
    && !behindTranslucency(matter, each).some((reading) => matter.view.specimen(reading)?.kind === "tooth")),
  "bridge-patches-unlike-teeth": (matter) => listed(matter, "bridges", (each) => each.tooth_like === false, "/tooth_like"),
  "check-patch-moved": patchMoved,
  "uncertainty-below-spread": belowSpread,
};
