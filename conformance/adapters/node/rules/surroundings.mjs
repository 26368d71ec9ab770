// Section 9.4: how and of what the readings were taken.

const MINUTES = {dam: 1, "cotton-air": 1, "lips-retracted": 5};
const TEETH = ["whole", "cervical", "middle", "incisal", "occlusal", "region", "unknown"];
const TISSUE = ["whole", "free-gingiva", "attached-gingiva", "papilla", "region", "unknown"];
const PIECE = ["whole", "middle", "region", "unknown"];
const ZONES = {
  tooth: TEETH, stump: TEETH, restoration: TEETH, gingiva: TISSUE, "denture-base": TISSUE,
  "guide-tab": ["whole", "cervical", "middle", "incisal", "region", "unknown"], "material-disc": PIECE, "check-patch": PIECE,
};

const sessions = ({view}, wrong, step = "") => view.list("sessions").flatMap((each, at) => (wrong(each) ? [`/sessions/${at}${step}`] : []));
const readings = ({view}, wrong, step = "") => view.list("readings").flatMap((each, at) => (wrong(each) ? [`/readings/${at}${step}`] : []));

function failed(matter, inVerdict) {
  const {view} = matter;
  const used = new Set(view.judgements.filter((each) => each.numeric)
    .flatMap((each) => [each.standard, each.trial]).flatMap((side) => view.readingsBehind(side)).map((each) => each.session_id));
  return sessions(matter, (each) => each.calibration?.result === "failed" && used.has(each.id) === inVerdict, "/calibration/result");
}

function barrierUnstated(matter) {
  const {view} = matter;
  const mouth = new Set(view.list("readings").filter((each) => ["tooth", "stump", "gingiva"].includes(view.specimen(each)?.kind)).map((each) => each.session_id));
  return sessions(matter, (each) => mouth.has(each.id) && each.instrument_id !== undefined && each.barrier_fitted === undefined);
}

function zoneUnsuited(matter) {
  return readings(matter, (each) => {
    const specimen = matter.view.specimen(each);
    if (!specimen) return false;
    const edge = specimen.tooth === undefined ? null : specimen.tooth[1] >= "4" ? "incisal" : "occlusal";
    return each.zone === edge || !ZONES[specimen.kind].includes(each.zone);
  }, "/zone");
}

function modelRestored({view}) {
  return view.list("targets").flatMap((target, at) => {
    const behind = view.readingsBehind(view.entries.get(target.source_id));
    const restored = target.source_kind === "measured-tooth" && behind.some((each) => view.specimen(each)?.restored);
    return restored ? [`/targets/${at}/source_id`] : [];
  });
}

function notRepositioned({view}) {
  return view.list("means").flatMap((mean, at) => {
    const behind = view.readingsBehind({entry: mean, list: "means"});
    return behind.length > 1 && behind.every((each) => each.repositioned === false) ? [`/means/${at}/reading_ids`] : [];
  });
}

export const RULES = {
  "calibration-failed": (matter) => failed(matter, false),
  "calibration-failed-in-verdict": (matter) => failed(matter, true),
  "calibration-missing": (matter) => sessions(matter, (each) => each.instrument_id !== undefined && !each.calibration),
  "barrier-differs-from-calibration": (matter) => sessions(matter, (each) => {
    const states = [each.calibration?.barrier_fitted, each.barrier_fitted];
    return !each.barrier_per_instructions && !states.includes(undefined) && states[0] !== states[1];
  }, "/barrier_fitted"),
  "barrier-unstated": barrierUnstated,
  "isolation-too-long": (matter) => readings(matter, (each) => each.minutes_since_isolation > MINUTES[each.isolation], "/minutes_since_isolation"),
  "zone-unsuited-to-specimen": zoneUnsuited,
  "surface-uncleaned": (matter) => sessions(matter, (each) => each.surface_cleaned === false, "/surface_cleaned"),
  "model-tooth-restored": modelRestored,
  "reading-of-unsintered-ceramic": (matter) => readings(matter, (each) => each.state === "unsintered", "/state"),
  "stump-read-dry": (matter) => readings(matter, (each) => each.hydration === "dry" && matter.view.specimen(each)?.kind === "stump", "/hydration"),
  "repeats-not-repositioned": notRepositioned,
};
