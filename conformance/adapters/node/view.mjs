// A case with its ids resolved: what rules read. Names of lists and members are those of section 5.

export const ENTRY_LISTS = [
  "parties", "relations", "instruments", "specimens", "groups", "prescriptions", "backings", "sessions", "readings",
  "computed_colours", "withdrawals", "means", "bridges", "indices", "translucencies", "targets", "reference_sets",
  "matches", "tolerances", "comparisons", "verdicts", "conclusions", "events", "courses", "effects", "dispositions",
  "attachments",
];
const COLOURED = ["readings", "computed_colours", "means", "targets", "references"];
const MEASURED = ["readings", "computed_colours", "means"];
const ORIGINS = ["instrument", "computed", "typed", "copied"];
const UNCOMPARED = ["cannot-be-compared", "not-judged"];

const WITHDRAWABLE = ENTRY_LISTS.filter((name) => name !== "withdrawals");

// Which lists each member that refers may name an entry of.
const REFERENCES = {
  subject: {issued_by_id: ["parties"]},
  revisions: {party_id: ["parties"]},
  parents: {revision_id: ["revisions"]},
  specimens: {part_of_id: ["specimens"], reference_id: ["references"]},
  groups: {specimen_ids: ["specimens"]},
  layers: {reference_id: ["references"]},
  prescriptions: {specimen_id: ["specimens"], stump_specimen_id: ["specimens"], attachment_ids: ["attachments"]},
  sessions: {instrument_id: ["instruments"], party_id: ["parties"]},
  readings: {session_id: ["sessions"], specimen_id: ["specimens"], placed_over_id: ["specimens"], backing_id: ["backings"]},
  visual: {reference_set_id: ["reference_sets"], chosen_id: ["references"], second_id: ["references"]},
  computed_colours: {reading_id: ["readings"]},
  withdrawals: {entry_id: WITHDRAWABLE, replaced_by_id: WITHDRAWABLE},
  means: {reading_ids: ["readings"]},
  targets: {
    specimen_id: ["specimens"], source_id: [...MEASURED, "references"], model_specimen_id: ["specimens"],
    set_by_id: ["parties"], supersedes_id: ["targets"],
  },
  matches: {
    of_id: [...MEASURED, "targets"], reference_set_id: ["reference_sets"], nearest_id: ["references"],
    runner_up_id: ["references"],
  },
  tolerances: {agreed_by_ids: ["parties"]},
  comparisons: {standard_id: COLOURED, trial_id: MEASURED},
  verdicts: {comparison_id: ["comparisons"], tolerance_id: ["tolerances"]},
  bridges: {first_instrument_id: ["instruments"], second_instrument_id: ["instruments"], party_id: ["parties"]},
  pairs: {first_id: MEASURED, second_id: MEASURED},
  indices: {of_id: [...MEASURED, "targets"]},
  translucencies: {over_white_id: MEASURED, over_black_id: MEASURED},
  conclusions: {group_id: ["groups"], specimen_id: ["specimens"], verdict_ids: ["verdicts"]},
  events: {party_id: ["parties"], specimen_ids: ["specimens"]},
  courses: {specimen_ids: ["specimens"], control_specimen_ids: ["specimens"], event_ids: ["events"]},
  effects: {course_id: ["courses"], comparison_id: ["comparisons"], index_before_id: ["indices"], index_after_id: ["indices"]},
  dispositions: {specimen_id: ["specimens"], verdict_ids: ["verdicts"], party_id: ["parties"]},
};

export class View {
  constructor(document) {
    this.document = document;
    this.entries = new Map();
    this.repeated = [];
    const revisions = this.list("revisions");
    for (const located of this.located()) {
      if (this.entries.has(located.entry.id)) this.repeated.push(located);
      else this.entries.set(located.entry.id, located);
    }
    this.revisionIds = new Set(revisions.map((each) => each.id));
    this.firstRevision = revisions[0]?.id;
    this.ancestors = new Map();
    for (const each of revisions) {
      const above = (each.parents ?? []).flatMap((parent) => [...(this.ancestors.get(parent.revision_id) ?? [])]);
      this.ancestors.set(each.id, new Set([each.id, ...above]));
    }
    this.withdrawn = new Set(this.list("withdrawals").map((each) => each.entry_id));
  }

  list(name) {
    return this.document[name] ?? [];
  }

  * located() {
    for (const name of ENTRY_LISTS) {
      for (const [at, entry] of this.list(name).entries()) {
        yield {entry, list: name, pointer: `/${name}/${at}`};
        for (const [place, reference] of (name === "reference_sets" ? entry.references : []).entries()) {
          yield {entry: reference, list: "references", pointer: `/${name}/${at}/references/${place}`};
        }
      }
    }
  }

  find(id, list) {
    const found = this.entries.get(id);
    return found?.list === list ? found.entry : undefined;
  }

  counts(entry) {
    return !this.withdrawn.has(entry.id);
  }

  counting(name) {
    return this.list(name).filter((entry) => this.counts(entry));
  }

  // Every reference that the case makes: {pointer, entry, named, allowed, member}.
  references() {
    const found = [];
    const refer = (block, place, pointer, entry) => {
      for (const [member, allowed] of Object.entries(REFERENCES[place] ?? {})) {
        const named = block[member];
        const all = Array.isArray(named) ? named.map((id, at) => [`${member}/${at}`, id]) : [[member, named]];
        for (const [step, id] of all) {
          if (id !== undefined) found.push({pointer: `${pointer}/${step}`, entry, list: place, member, named: id, allowed});
        }
      }
    };
    if (this.document.subject) refer(this.document.subject, "subject", "/subject", null);
    for (const [at, revision] of this.list("revisions").entries()) {
      refer(revision, "revisions", `/revisions/${at}`, revision);
      for (const [place, parent] of (revision.parents ?? []).entries()) refer(parent, "parents", `/revisions/${at}/parents/${place}`, revision);
    }
    for (const {entry, list, pointer} of this.located()) {
      if (list === "references") continue;
      if (entry.revision_id !== undefined) {
        found.push({pointer: `${pointer}/revision_id`, entry, list, member: "revision_id", named: entry.revision_id, allowed: ["revisions"]});
      }
      refer(entry, list, pointer, entry);
      if (entry.visual) refer(entry.visual, "visual", `${pointer}/visual`, entry);
      for (const [place, layer] of (list === "prescriptions" ? entry.layers ?? [] : []).entries()) refer(layer, "layers", `${pointer}/layers/${place}`, entry);
      for (const [place, pair] of (list === "bridges" ? entry.pairs : []).entries()) refer(pair, "pairs", `${pointer}/pairs/${place}`, entry);
    }
    return found;
  }

  colours(located) {
    if (!located || !COLOURED.includes(located.list)) return [];
    if (located.list !== "readings") return [located.entry.colour];
    const later = this.list("computed_colours").filter((each) => each.reading_id === located.entry.id && this.counts(each));
    return [...(located.entry.colours ?? []), ...later.map((each) => each.colour)];
  }

  colour(located, illuminant, observer) {
    const fitting = this.colours(located).filter((each) => each.illuminant === illuminant && each.observer === observer);
    return ORIGINS.map((origin) => fitting.find((each) => each.origin === origin)).find((each) => each !== undefined);
  }

  // [L, a, b] of an entry on a basis, undefined where there is none.
  lab(id, {illuminant, observer}) {
    if (illuminant === "unknown" || observer === "unknown") return undefined;
    return coordinates(this.colour(this.entries.get(id), illuminant, observer));
  }

  readingsBehind(located) {
    if (!located) return [];
    const {entry, list} = located;
    if (list === "readings") return [entry];
    if (list === "means") return entry.reading_ids.map((id) => this.find(id, "readings")).filter((each) => each !== undefined);
    if (list === "computed_colours") return [this.find(entry.reading_id, "readings")].filter((each) => each !== undefined);
    const source = list === "targets" ? this.entries.get(entry.source_id) : undefined;
    return source?.list === "targets" ? [] : this.readingsBehind(source);
  }

  session(reading) {
    return this.find(reading.session_id, "sessions");
  }

  specimen(reading) {
    return this.find(reading.specimen_id, "specimens");
  }

  instruments(readings) {
    return new Set(readings.map((each) => this.session(each)?.instrument_id).filter((id) => id !== undefined));
  }

  // instrument, camera or eye
  takenBy(reading) {
    if (reading.visual && !reading.colours && !reading.spectrum) return "eye";
    const instrument = this.find(this.session(reading)?.instrument_id, "instruments");
    return instrument?.kind === "camera" ? "camera" : "instrument";
  }

  kinds(readings) {
    return new Set(readings.map((each) => this.takenBy(each)));
  }

  // The lab that a mean takes of a reading, undefined where there is none.
  averaged(reading, mean) {
    const {illuminant, observer} = mean.colour;
    const fits = (each) => each.origin === mean.of_origin && each.illuminant === illuminant && each.observer === observer;
    return coordinates(this.colours(this.entries.get(reading.id)).find((each) => fits(each) && each.lab));
  }

  // Verdicts that count, with what they rest on; `numeric` where a number was judged.
  get judgements() {
    return this.list("verdicts").flatMap((verdict, at) => {
      if (!this.counts(verdict)) return [];
      const comparison = this.find(verdict.comparison_id, "comparisons");
      return [{
        verdict,
        pointer: `/verdicts/${at}`,
        comparison,
        tolerance: this.find(verdict.tolerance_id, "tolerances"),
        standard: this.entries.get(comparison?.standard_id),
        trial: this.entries.get(comparison?.trial_id),
        decided: !UNCOMPARED.includes(verdict.decision),
        numeric: comparison !== undefined && !UNCOMPARED.includes(verdict.decision),
      }];
    });
  }

  bridged(ids) {
    const [first] = ids;
    const reached = new Set([first]);
    const bridges = this.list("bridges").filter((each) => !this.withdrawn.has(each.id));
    for (let round = 0; round <= bridges.length; round += 1) {
      for (const each of bridges) {
        const pair = [each.first_instrument_id, each.second_instrument_id];
        if (pair.some((id) => reached.has(id))) pair.forEach((id) => reached.add(id));
      }
    }
    return [...ids].every((id) => reached.has(id));
  }
}

export function coordinates(colour) {
  return colour?.lab ? [colour.lab.L, colour.lab.a, colour.lab.b] : undefined;
}

export function same(one, other) {
  return one.size === other.size && [...one].every((each) => other.has(each));
}
