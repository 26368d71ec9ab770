// Courses of treatment and their effects; choices by eye; pictures (sections 9.3 to 9.9).

import {coordinates} from "../view.mjs";
import {difference} from "../colour.mjs";
import {isLater, moment, secondsBetween} from "../times.mjs";
import {unbridged, zonesDiffer} from "./comparability.mjs";

const DAY = 86400;
const TREATMENTS = ["treatment-visit", "treatment-ended", "treatment-started"];
const LIGHT = {colour_temperature_K: [5500, 6500], rendering_index: [90, 100], illuminance_lx: [1000, 2000]};

const listed = ({view}, name, wrong, step = "") => view.list(name).flatMap((each, at) => (wrong(each, at) ? [`/${name}/${at}${step}`] : []));

// Effects that count and whose comparison is there.
function effects({view}, wrong, step = "") {
  return view.list("effects").flatMap((effect, at) => {
    const comparison = view.find(effect.comparison_id, "comparisons");
    const sides = comparison ? [comparison.standard_id, comparison.trial_id].map((id) => view.readingsBehind(view.entries.get(id))) : null;
    return sides && view.counts(effect) && wrong(effect, comparison, sides) ? [`/effects/${at}${step}`] : [];
  });
}

function atPeakOnly(matter) {
  const counting = matter.view.list("effects").filter((each) => matter.view.counts(each));
  const has = (course, word) => counting.some((each) => each.course_id === course.id && each.moment === word);
  return listed(matter, "courses", (course) => matter.view.counts(course) && has(course, "end-of-treatment") && !has(course, "after-settling"));
}

function readAt(view, reading) {
  return reading.at ?? view.session(reading)?.started;
}

// Whether a reading of a treated specimen follows a treatment of it by less than some days.
function soon(view, readings, days) {
  const treated = new Set(view.counting("courses").flatMap((course) => course.specimen_ids));
  return readings.filter((reading) => treated.has(reading.specimen_id)).some((reading) => view.counting("events").some((event) => {
    const concerned = event.specimen_ids === undefined || event.specimen_ids.includes(reading.specimen_id);
    const seconds = TREATMENTS.includes(event.kind) && concerned ? secondsBetween(readAt(view, reading), event.at) : null;
    return seconds !== null && seconds > 0 && seconds < days * DAY;
  }));
}

function controlMoved(matter) {
  const {view} = matter;
  return listed(matter, "courses", (course) => matter.view.counts(course) && (course.control_specimen_ids ?? []).some((id) => {
    const groups = new Map();
    for (const mean of view.list("means").filter((each) => view.counts(each) && each.colour.lab)) {
      const readings = view.readingsBehind({entry: mean, list: "means"});
      const places = new Set(readings.map((each) => JSON.stringify([each.specimen_id, each.zone])));
      const [instrument, ...others] = view.instruments(readings);
      if (places.size !== 1 || readings[0].specimen_id !== id || instrument === undefined || others.length) continue;
      const key = JSON.stringify([...places, instrument, mean.colour.illuminant, mean.colour.observer]);
      groups.set(key, [...(groups.get(key) ?? []), coordinates(mean.colour)]);
    }
    return [...groups.values()].some((labs) => labs.some((one) => labs.some((two) => difference("CIEDE2000", one, two) > 0.8)));
  }), "/control_specimen_ids");
}

const camera = ({view}) => view.list("sessions").flatMap((session, at) => {
  const kind = view.find(session.instrument_id, "instruments")?.kind;
  const judged = view.judgements.some((each) => each.numeric
    && [each.standard, each.trial].some((side) => view.readingsBehind(side).some((reading) => reading.session_id === session.id)));
  return kind === "camera" && session.grey_reference !== true ? [{pointer: `/sessions/${at}`, judged}] : [];
});

function overridden(matter) {
  const {view} = matter;
  const choices = view.list("readings").filter((each) => each.visual && view.counts(each));
  return listed(matter, "targets", (target) => {
    const set = view.list("reference_sets").find((each) => each.references.some(({id}) => id === target.source_id));
    if (target.source_kind !== "chosen-reference" || !set || !view.counts(target)) return false;
    const heard = choices.filter((each) => each.zone === target.zone
      && (view.specimen(each)?.kind !== "stump" || each.specimen_id === target.specimen_id)).map(({visual}) => visual);
    return heard.some((each) => each.none_close === true && each.reference_set_id === set.id)
      && !heard.some((each) => [each.chosen_id, each.second_id].includes(target.source_id));
  }, "/source_id");
}

function flattened(matter) {
  return listed(matter, "readings", ({visual}) => {
    const label = matter.view.find(visual?.chosen_id, "references")?.label;
    return label !== undefined && visual.between !== true && /[/+]| - | (?:or|and|und|oder|et|entre|bis) /.test(label);
  }, "/visual/chosen_id");
}

const lightOutside = ({view}) => view.list("sessions").flatMap(({light}, at) => Object.entries(LIGHT)
  .filter(([member, [low, high]]) => light?.[member] < low || light?.[member] > high).map(([member]) => `/sessions/${at}/light/${member}`));

function visionUnchecked(matter) {
  const byEye = new Set(matter.view.list("readings").filter((each) => each.visual).map((each) => each.session_id));
  return listed(matter, "sessions", (each) => byEye.has(each.id) && moment(each.colour_vision_checked) === null);
}

function afterPreparation(matter) {
  const {view} = matter;
  return listed(matter, "readings", (each) => view.specimen(each)?.kind === "tooth" && view.counting("events").some((event) => {
    const seconds = event.kind === "preparation" ? secondsBetween(readAt(view, each), event.at) : null;
    return seconds !== null && seconds > 0 && seconds < DAY / 2;
  }));
}

export const RULES = {
  "course-control-missing": (matter) => listed(matter, "courses", (each) => matter.view.counts(each) && each.control_specimen_ids === undefined),
  "course-control-moved": controlMoved,
  "course-follow-up-too-early": (matter) => effects(matter, (_, __, [, trial]) => soon(matter.view, trial, 1)),
  "reading-soon-after-whitening": (matter) => listed(matter, "targets", (each) => each.source_kind === "measured-tooth"
    && soon(matter.view, matter.view.readingsBehind(matter.view.entries.get(each.source_id)), 14)),
  "effect-of-other-question": (matter) => effects(matter, (_, comparison) => comparison.question !== "change", "/comparison_id"),
  "effect-without-direction": (matter) => effects(matter, (effect, comparison) => !comparison.direction && effect.change === undefined),
  "effect-of-other-zone": (matter) => effects(matter, (_, comparison) => zonesDiffer(matter.view, comparison), "/comparison_id"),
  "effect-across-instruments": (matter) => effects(matter, (_, comparison) => unbridged(matter.view, comparison), "/comparison_id"),
  "effect-at-peak-only": atPeakOnly,
  "light-outside-viewing-range": lightOutside,
  "choice-under-operating-light": (matter) => listed(matter, "sessions", (each) => each.light?.kind === "operating-light", "/light/kind"),
  "choice-during-isolation": (matter) => listed(matter, "readings", (each) => each.visual && ["dam", "cotton-air"].includes(each.isolation), "/isolation"),
  "choice-by-single-observer": (matter) => listed(matter, "readings", (each) => each.visual && matter.view.session(each)?.observer_count === 1, "/visual"),
  "choice-between-flattened": flattened,
  "none-close-overridden": overridden,
  "colour-vision-unchecked": visionUnchecked,
  "camera-without-grey": (matter) => camera(matter).filter(({judged}) => !judged).map(({pointer}) => pointer),
  "camera-without-grey-in-verdict": (matter) => camera(matter).filter(({judged}) => judged).map(({pointer}) => pointer),
  "picture-recompressed": (matter) => listed(matter, "attachments", (each) => each.use?.includes("colour")
    && ["recompressed", "unknown"].includes(each.processing), "/processing"),
  "picture-shows-identity": (matter) => listed(matter, "attachments", (each) => each.consent !== "yes"
    && (each.shows ?? []).some((what) => ["face", "document"].includes(what)), "/shows"),
  "target-changed-after-dispatch": (matter) => listed(matter, "targets", (each) => matter.view.counting("events").some((event) => event.kind === "dispatched"
    && (event.specimen_ids === undefined || event.specimen_ids.includes(each.specimen_id)) && isLater(each.set_at, event.at)), "/set_at"),
  "reading-after-preparation": afterPreparation,
};
