// Section 9.5, second half: what a mean may be taken of, and its spread.

import {difference, halfUnit, mean as meanOf} from "../colour.mjs";
import {factorsFit} from "./recomputation.mjs";

const COVARIANCES = ["var_L", "var_a", "var_b", "cov_La", "cov_Lb", "cov_ab"];

// Pointers for every mean, made by a function of the mean, its readings and its pointer.
function each({view}, made) {
  return view.list("means").flatMap((entry, at) => {
    const readings = entry.reading_ids.map((id) => view.find(id, "readings"));
    return made(entry, readings, `/means/${at}`);
  });
}

const listed = (ids, wrong, pointer) => ids.flatMap((id, at) => (wrong(id, at) ? [`${pointer}/reading_ids/${at}`] : []));

const mixes = (member) => (matter) => each(matter, (_, readings, pointer) => {
  const found = new Set(readings.filter((reading) => reading).map((reading) => reading[member] ?? null));
  return found.size > 1 ? [`${pointer}/reading_ids`] : [];
});

function inputMissing(matter) {
  return each(matter, (entry, readings, pointer) =>
    listed(entry.reading_ids, (_, at) => readings[at] && !matter.view.averaged(readings[at], entry), pointer));
}

function covarianceImpossible(matter) {
  return each(matter, ({spread}, _, pointer) => {
    if (!spread || COVARIANCES.some((name) => spread[name] === undefined)) return [];
    const edge = halfUnit(spread.decimals);
    return ["La", "Lb", "ab"].filter((pair) => {
      const [one, other] = [...pair].map((axis) => spread[`var_${axis}`] + edge);
      return Math.abs(spread[`cov_${pair}`]) - edge > Math.sqrt(one * other) + 1e-12;
    }).map((pair) => `${pointer}/spread/cov_${pair}`);
  });
}

function covarianceIncomplete(matter) {
  const names = ["covariance_of", ...COVARIANCES];
  return each(matter, ({spread}, _, pointer) => {
    const stated = names.filter((name) => spread?.[name] !== undefined).length;
    return stated > 0 && stated < names.length ? [`${pointer}/spread`] : [];
  });
}

function spreadLarge(matter) {
  return each(matter, ({spread, reading_ids: ids}, readings, pointer) => {
    if (spread?.mcdm === undefined || spread.formula !== "CIEDE2000" || ids.length < 2) return [];
    const whole = readings.every((reading) => reading?.zone === "whole");
    return !whole && spread.mcdm * Math.sqrt(ids.length / (ids.length - 1)) > 1 ? [`${pointer}/spread/mcdm`] : [];
  });
}

function farFromOthers(matter) {
  const {view} = matter;
  return each(matter, (entry, readings) => {
    const known = readings.filter((reading) => reading && view.averaged(reading, entry));
    if (known.length < 3) return [];
    return known.filter((reading) => {
      const others = known.filter((other) => other !== reading).map((other) => view.averaged(other, entry));
      return difference("CIEDE2000", view.averaged(reading, entry), meanOf(others)) > 1.2;
    }).map((reading) => view.entries.get(reading.id).pointer);
  });
}

function factorsUnsuited({document, view}) {
  if (document.kind === "tolerance") return factorsFit(document) ? [] : [""];
  const named = ["tolerances", "matches", "comparisons", "translucencies"].flatMap((name) => view.list(name).map((entry, at) => [entry, `/${name}/${at}`]));
  const spreads = view.list("means").flatMap(({spread}, at) => (spread ? [[spread, `/means/${at}/spread`]] : []));
  return [...named, ...spreads].filter(([block]) => !factorsFit(block)).map(([, pointer]) => pointer);
}

export const RULES = {
  "mean-input-missing": inputMissing,
  "mean-includes-withdrawn": (matter) => each(matter, (entry, _, pointer) =>
    (matter.view.counts(entry) ? listed(entry.reading_ids, (id) => matter.view.withdrawn.has(id), pointer) : [])),
  "mean-repeats-reading": (matter) => each(matter, (entry, _, pointer) =>
    listed(entry.reading_ids, (id, at) => entry.reading_ids.indexOf(id) < at, pointer)),
  "mean-mixes-specimens": mixes("specimen_id"),
  "mean-mixes-zones": mixes("zone"),
  "mean-mixes-sessions": mixes("session_id"),
  "mean-mixes-states": (matter) => [...mixes("state")(matter), ...mixes("backing")(matter)],
  "mean-mixes-kinds": (matter) => each(matter, (_, readings, pointer) =>
    (matter.view.kinds(readings.filter((reading) => reading)).size > 1 ? [`${pointer}/reading_ids`] : [])),
  "mean-of-single-reading": (matter) => each(matter, ({reading_ids: ids}, _, pointer) => (ids.length === 1 ? [`${pointer}/reading_ids`] : [])),
  "spread-of-single-reading": (matter) => each(matter, ({spread, reading_ids: ids}, _, pointer) =>
    (spread && ids.length === 1 ? [`${pointer}/spread`] : [])),
  "covariance-impossible": covarianceImpossible,
  "covariance-incomplete": covarianceIncomplete,
  "spread-large": spreadLarge,
  "repeat-far-from-others": farFromOthers,
  "factors-unsuited": factorsUnsuited,
};
