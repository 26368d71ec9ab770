// Section 9.3: order in time.

import {isLater, moment, secondsBetween} from "../times.mjs";
import {textsOf} from "../texts.mjs";

export const TIMESTAMPS = new Set(["at", "started", "set_at", "agreed_at", "due", "measured_on", "valid_from", "valid_until", "made_at",
  "colour_vision_checked", "verified_on", "keep_until"]);

const impossible = ({known}) => textsOf(known)
  .filter(({member, text}) => TIMESTAMPS.has(member) && moment(text) === null)
  .map(({pointer}) => pointer);

const afterCheck = ({view, options}) => view.list("revisions")
  .flatMap((each, at) => (isLater(each.at, options.as_of) ? [`/revisions/${at}/at`] : []));

// Calibrated sessions that were used: pointer, moment of the calibration, moments of use.
function calibrated(view) {
  return view.list("sessions").flatMap((session, at) => {
    const used = [session.started, ...view.list("readings").filter((each) => each.session_id === session.id).map((each) => each.at)]
      .filter((each) => moment(each) !== null);
    if (!session.calibration || moment(session.calibration.at) === null || used.length === 0) return [];
    return [{pointer: `/sessions/${at}/calibration/at`, at: session.calibration.at, used}];
  });
}

const afterReading = ({view}) => calibrated(view).filter(({at, used}) => used.some((each) => {
  const seconds = secondsBetween(at, each);
  return seconds === null ? isLater(at, each) : seconds > 60;
})).map(({pointer}) => pointer);

const stale = ({view}) => calibrated(view).filter(({at, used}) => used.some((each) => {
  const seconds = secondsBetween(each, at);
  return seconds === null ? moment(each).day - moment(at).day > 1 : seconds > 4 * 3600;
})).map(({pointer}) => pointer);

function read(view, judgement) {
  return view.readingsBehind(judgement.trial).map((each) => each.at ?? view.session(each)?.started).filter((each) => each !== undefined);
}

function afterAll(view, judgement, when) {
  const moments = read(view, judgement);
  return when !== undefined && moments.length > 0 && moments.every((each) => isLater(when, each));
}

export const RULES = {
  "date-impossible": impossible,
  "dated-after-check": afterCheck,
  "calibration-after-reading": afterReading,
  "calibration-stale": stale,
  "tolerance-agreed-after-reading": ({view}) => view.judgements
    .filter((each) => afterAll(view, each, each.tolerance?.agreed_at)).map(({pointer}) => `${pointer}/tolerance_id`),
  "target-set-after-reading": ({view}) => view.judgements
    .filter((each) => each.standard?.list === "targets" && afterAll(view, each, each.standard.entry.set_at)).map(({pointer}) => pointer),
};
