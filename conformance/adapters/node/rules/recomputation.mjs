// Section 9.5, first half: stated numbers against what the stated numbers before them give.

import {
  agrees, covariance, decision, difference, direction, expanded, grade, halfUnit, index, labToXyz, mcdm, mean,
  nearlyOpposite, xyzToLab,
} from "../colour.mjs";
import {coordinates} from "../view.mjs";
import {spreadOf, variance} from "./relations.mjs";
import {spectrumToXyz, whitePoint} from "../weights.mjs";

const COVARIANCES = ["var_L", "var_a", "var_b", "cov_La", "cov_Lb", "cov_ab"];
const DIRECTIONS = ["delta_L", "delta_a", "delta_b", "delta_C", "delta_H"];

export const factorsOf = (block) => [block.k_L, block.k_C, block.k_H];
export const factorsFit = (block) => block.formula !== "CIELAB" || factorsOf(block).every((each) => each === 1);
const unknown = (block) => block.illuminant === "unknown" || block.observer === "unknown";
const allAgree = (stated, right, decimals) => stated.every((each, axis) => agrees(each, right[axis], decimals));

// Colours beside or made from a spectrum: {colour, pointer, spectrum}.
function beside(view) {
  const own = view.list("readings").flatMap((reading, at) => (reading.colours ?? []).map((colour, place) =>
    ({colour, spectrum: reading.spectrum, pointer: `/readings/${at}/colours/${place}`})));
  const later = view.list("computed_colours").map((each, at) =>
    ({colour: each.colour, spectrum: view.find(each.reading_id, "readings")?.spectrum, pointer: `/computed_colours/${at}/colour`}));
  return [...own, ...later].filter(({spectrum}) => spectrum !== undefined).flatMap((each) => {
    const xyz = unknown(each.colour) ? null : spectrumToXyz(each.spectrum, each.colour.illuminant, each.colour.observer);
    return xyz ? [{...each, xyz, lab: xyzToLab(xyz, whitePoint(each.colour.illuminant, each.colour.observer))}] : [];
  });
}

function computedAgainstSpectrum({view}) {
  return beside(view).filter(({colour}) => colour.origin === "computed").flatMap(({colour, pointer, xyz, lab}) => [
    ...(colour.lab && !allAgree(coordinates(colour), lab, colour.decimals) ? [`${pointer}/lab`] : []),
    ...(colour.xyz && !allAgree([colour.xyz.X, colour.xyz.Y, colour.xyz.Z], xyz, colour.decimals) ? [`${pointer}/xyz`] : []),
  ]);
}

function instrumentAgainstSpectrum({view}) {
  return beside(view).filter(({colour, lab}) => colour.origin === "instrument" && colour.lab
    && difference("CIEDE2000", coordinates(colour), lab) > 0.05 + 2.1 * halfUnit(colour.decimals))
    .map(({pointer}) => `${pointer}/lab`);
}

export function coloursOf(view) {
  return [
    ...view.list("readings").flatMap((each, at) => (each.colours ?? []).map((colour, place) => [colour, `/readings/${at}/colours/${place}`])),
    ...["computed_colours", "means", "targets"].flatMap((name) => view.list(name).map((each, at) => [each.colour, `/${name}/${at}/colour`])),
    ...view.list("reference_sets").flatMap((set, at) => set.references.map((each, place) =>
      [each.colour, `/reference_sets/${at}/references/${place}/colour`])),
  ];
}

function xyzAgainstLab({view}) {
  return coloursOf(view).filter(([colour]) => {
    if (!colour.lab || !colour.xyz || unknown(colour)) return false;
    const white = whitePoint(colour.illuminant, colour.observer);
    const right = xyzToLab([colour.xyz.X, colour.xyz.Y, colour.xyz.Z], white);
    const values = labToXyz(right, white);
    const edge = halfUnit(colour.decimals);
    const thousandth = colour.origin === "computed" ? 0 : 0.001;
    const lowered = [0, 1, 2].map((axis) => xyzToLab(values.map((each, at) => (at === axis ? each - edge - thousandth * each : each)), white));
    return coordinates(colour).some((stated, axis) => {
      const more = lowered.reduce((total, lab) => total + Math.abs(lab[axis] - right[axis]), 0);
      return !agrees(stated, right[axis], colour.decimals, more);
    });
  }).map(([, pointer]) => pointer);
}

// Means all of whose readings have the colour that is averaged: {entry, pointer, labs}.
function meansOf(view) {
  return view.list("means").flatMap((entry, at) => {
    const readings = entry.reading_ids.map((id) => view.find(id, "readings"));
    const labs = readings.map((each) => each && view.averaged(each, entry));
    return labs.includes(undefined) ? [] : [{entry, pointer: `/means/${at}`, labs}];
  });
}

const meanDisagrees = ({view}) => meansOf(view)
  .filter(({entry, labs}) => entry.colour.lab && !allAgree(coordinates(entry.colour), mean(labs), entry.colour.decimals))
  .map(({pointer}) => `${pointer}/colour/lab`);

function spreadDisagrees({view}) {
  return meansOf(view).filter(({entry, labs}) => entry.spread && labs.length > 1).flatMap(({entry: {spread}, pointer, labs}) => {
    const right = {};
    if (factorsFit(spread)) right.mcdm = mcdm(labs, spread.formula, factorsOf(spread));
    if (spread.covariance_of) covariance(labs, spread.covariance_of).forEach((each, at) => { right[COVARIANCES[at]] = each; });
    return Object.entries(right).filter(([name, value]) => spread[name] !== undefined && !agrees(spread[name], value, spread.decimals))
      .map(([name]) => `${pointer}/spread/${name}`);
  });
}

function targetDiffers({view}) {
  return view.list("targets").flatMap((target, at) => {
    const source = target.colour.origin === "copied" ? view.colour(view.entries.get(target.source_id), target.colour.illuminant, target.colour.observer) : undefined;
    const wrong = target.colour.lab && source?.lab && !allAgree(coordinates(target.colour), coordinates(source), target.colour.decimals);
    return wrong ? [`/targets/${at}/colour/lab`] : [];
  });
}

// Matches with every candidate at its difference, nearest first.
function matchesOf(view) {
  return view.list("matches").flatMap((entry, at) => {
    const set = view.find(entry.reference_set_id, "reference_sets");
    const lab = view.lab(entry.of_id, entry);
    if (!set || !lab || !factorsFit(entry)) return [];
    const ranked = set.references
      .filter(({colour}) => colour.lab && colour.illuminant === entry.illuminant && colour.observer === entry.observer)
      .map(({id, colour}) => ({id, lab: coordinates(colour), size: difference(entry.formula, lab, coordinates(colour), factorsOf(entry))}))
      .sort((one, two) => one.size - two.size);
    return [{entry, pointer: `/matches/${at}`, lab, ranked, by: (id) => ranked.find((each) => each.id === id)}];
  });
}

function nearestDiffers({view}) {
  return matchesOf(view).flatMap(({entry, pointer, ranked, by}) => {
    const room = 10 ** -entry.decimals + 1e-6;
    return [["nearest_id", 0], ["runner_up_id", 1]].filter(([member, place]) => {
      const named = by(entry[member]);
      return named && place < ranked.length && Math.abs(named.size - ranked[place].size) > room;
    }).map(([member]) => `${pointer}/${member}`);
  });
}

function matchDifference({view}) {
  return matchesOf(view).flatMap(({entry, pointer, by}) => [["nearest_id", "nearest_difference"], ["runner_up_id", "runner_up_difference"]]
    .filter(([id, size]) => by(entry[id]) && entry[size] !== undefined && !agrees(entry[size], by(entry[id]).size, entry.decimals))
    .map(([, size]) => `${pointer}/${size}`));
}

function matchMargin({view}) {
  return matchesOf(view).flatMap(({entry, pointer, lab, by}) => {
    const [first, second] = [by(entry.nearest_id), by(entry.runner_up_id)];
    if (!first || !second) return [];
    const step = second.lab.map((each, axis) => each - first.lab[axis]);
    const square = step.reduce((total, each) => total + each * each, 0);
    const along = step.reduce((total, each, axis) => total + each * (lab[axis] - first.lab[axis]), 0);
    const position = square ? Math.min(Math.max(along / square, 0), 1) : 0;
    const foot = first.lab.map((each, axis) => each + position * step[axis]);
    const right = {position, residual: difference(entry.formula, lab, foot, factorsOf(entry))};
    const spread = spreadOf(view, entry.of_id);
    if (spread) right.margin_expanded = marginExpanded(entry, lab, [first, second], spread);
    const wrong = Object.entries(right).filter(([name, value]) => entry[name] !== undefined && !agrees(entry[name], value, entry.decimals));
    const margin = entry.margin !== undefined && !agrees(entry.margin, second.size - first.size, entry.decimals, halfUnit(entry.decimals));
    return [...(margin ? [`${pointer}/margin`] : []), ...wrong.map(([name]) => `${pointer}/${name}`)];
  });
}

// Taken through the difference of the squares, with the colour as the standard (section 8.7).
function marginExpanded(entry, lab, [first, second], spread) {
  const step = 1e-4;
  if (first.size + second.size === 0) return 0;
  const squares = (moved) => [second, first].map((each) => difference(entry.formula, moved, each.lab, factorsOf(entry)) ** 2);
  const slope = lab.map((_, axis) => {
    const ends = [step, -step].map((move) => squares(lab.map((value, at) => (at === axis ? value + move : value))));
    return (ends[0][0] - ends[0][1] - ends[1][0] + ends[1][1]) / (2 * step);
  });
  return 2 * Math.sqrt(Math.max(variance(spread, slope), 0)) / (first.size + second.size);
}

function matchConclusion({view}) {
  return view.list("matches").flatMap((each, at) => {
    if (each.conclusion === undefined || each.close_up_to === undefined) return [];
    let right = each.nearest_difference <= each.close_up_to ? "close" : "none-close";
    if (right === "close" && each.margin < each.margin_expanded) right = "undecided";
    return each.conclusion === right ? [] : [`/matches/${at}/conclusion`];
  });
}

function comparisonsOf(view) {
  return view.list("comparisons").flatMap((entry, at) => {
    const sides = [view.lab(entry.standard_id, entry), view.lab(entry.trial_id, entry)];
    return sides.includes(undefined) ? [] : [{entry, pointer: `/comparisons/${at}`, sides}];
  });
}

const differenceDisagrees = ({view}) => comparisonsOf(view).filter(({entry, sides}) => {
  const more = entry.formula === "CIEDE2000" && nearlyOpposite(...sides) ? 2e-4 : 0;
  return factorsFit(entry) && !agrees(entry.difference, difference(entry.formula, ...sides, factorsOf(entry)), entry.decimals, more);
}).map(({pointer}) => `${pointer}/difference`);

const directionDisagrees = ({view}) => comparisonsOf(view).filter(({entry}) => entry.direction).flatMap(({entry, pointer, sides}) =>
  direction(...sides).flatMap((right, at) =>
    (agrees(entry.direction[DIRECTIONS[at]], right, entry.direction.decimals) ? [] : [`${pointer}/direction/${DIRECTIONS[at]}`])));

function uncertaintyDisagrees({view}) {
  return view.list("comparisons").flatMap(({uncertainty}, at) => {
    if (!uncertainty?.components || uncertainty.method === "monte-carlo") return [];
    const right = expanded(uncertainty.coverage_factor, uncertainty.components.map((each) => each.standard_uncertainty));
    const above = uncertainty.method === "bounded" && uncertainty.expanded > right;
    return above || agrees(uncertainty.expanded, right, uncertainty.decimals) ? [] : [`/comparisons/${at}/uncertainty/expanded`];
  });
}

export function scaled({comparison, tolerance}) {
  const stated = comparison?.uncertainty;
  if (!stated) return undefined;
  return tolerance?.coverage_factor === undefined ? stated.expanded : (stated.expanded * tolerance.coverage_factor) / stated.coverage_factor;
}

const gradeDisagrees = ({view}) => view.judgements
  .filter(({numeric, verdict, tolerance, comparison}) => numeric && verdict.grade && tolerance?.grades
    && grade(comparison.difference, tolerance.grades) !== verdict.grade)
  .map(({pointer}) => `${pointer}/grade`);

const decisionDisagrees = ({view}) => view.judgements.filter((each) => {
  if (!each.numeric || !each.tolerance) return false;
  const right = decision(each.tolerance.decision_rule, each.comparison.difference, each.tolerance.limit, scaled(each));
  return right !== null && right !== each.verdict.decision;
}).map(({pointer}) => `${pointer}/decision`);

function indexDisagrees({view}) {
  return view.list("indices").flatMap((each, at) => {
    const lab = view.lab(each.of_id, each);
    const right = lab ? index(each.index, lab, `${each.illuminant} ${each.observer}`, whitePoint(each.illuminant, each.observer)) : null;
    return right === null || agrees(each.value, right, each.decimals) ? [] : [`/indices/${at}/value`];
  });
}

function translucencyDisagrees({view}) {
  return view.list("translucencies").flatMap((each, at) => {
    const [white, black] = [view.lab(each.over_white_id, each), view.lab(each.over_black_id, each)];
    if (!white || !black || !factorsFit(each)) return [];
    const [over, under] = [white, black].map((lab) => labToXyz(lab, whitePoint(each.illuminant, each.observer))[1]);
    return [
      ...(agrees(each.difference, difference(each.formula, white, black, factorsOf(each)), each.decimals) ? [] : [`/translucencies/${at}/difference`]),
      ...(each.contrast_ratio === undefined || over <= 0 || under < 0 || agrees(each.contrast_ratio, under / over, each.decimals) ? [] : [`/translucencies/${at}/contrast_ratio`]),
    ];
  });
}

function bridgeDisagrees({view}) {
  return view.list("bridges").flatMap((each, at) => {
    const pairs = each.pairs.map(({first_id: one, second_id: two}) => [view.lab(one, each), view.lab(two, each)]);
    if (pairs.flat().includes(undefined)) return [];
    const right = mean(pairs.map(([one, two]) => two.map((value, axis) => value - one[axis])));
    return allAgree([each.offset.L, each.offset.a, each.offset.b], right, each.decimals) ? [] : [`/bridges/${at}/offset`];
  });
}

function effectDisagrees({view}) {
  return view.list("effects").flatMap((each, at) => {
    const [before, after] = [view.find(each.index_before_id, "indices"), view.find(each.index_after_id, "indices")];
    const known = each.change !== undefined && each.decimals !== undefined && before && after;
    return !known || agrees(each.change, after.value - before.value, each.decimals) ? [] : [`/effects/${at}/change`];
  });
}

export const RULES = {
  "colour-disagrees-with-spectrum": computedAgainstSpectrum,
  "instrument-colour-differs-from-spectrum": instrumentAgainstSpectrum,
  "xyz-disagrees-with-lab": xyzAgainstLab,
  "mean-disagrees-with-readings": meanDisagrees,
  "spread-disagrees-with-readings": spreadDisagrees,
  "target-differs-from-source": targetDiffers,
  "nearest-differs": nearestDiffers,
  "match-difference-disagrees": matchDifference,
  "match-margin-disagrees": matchMargin,
  "match-conclusion-disagrees": matchConclusion,
  "difference-disagrees": differenceDisagrees,
  "direction-disagrees": directionDisagrees,
  "uncertainty-disagrees-with-components": uncertaintyDisagrees,
  "grade-disagrees-with-difference": gradeDisagrees,
  "decision-disagrees-with-rule": decisionDisagrees,
  "index-disagrees-with-colour": indexDisagrees,
  "translucency-disagrees": translucencyDisagrees,
  "bridge-disagrees-with-readings": bridgeDisagrees,
  "effect-disagrees-with-indices": effectDisagrees,
};
