// The vectors: pure functions, canonical form and digest, the document as it was, the file form.

import {
  adapted, agrees, between, contrastRatio, covariance, decision, difference, direction, expanded, grade, index, mcdm, mean, statedUncertainty,
  xyzToLab,
} from "./colour.mjs";
import {decode} from "./decode.mjs";
import {asItWas, canonical, digest, fileForm} from "./encode.mjs";
import {schemaOf} from "./structure.mjs";
import {base, patched, read} from "./suite.mjs";
import {isLater, secondsBetween} from "./times.mjs";
import {spectrumToXyz, whitePoint} from "./weights.mjs";

const factors = (args) => [args.k_L ?? 1, args.k_C ?? 1, args.k_H ?? 1];

const FUNCTIONS = {
  white_point: (args) => whitePoint(args.illuminant, args.observer),
  spectrum_to_xyz: (args) => spectrumToXyz(args, args.illuminant, args.observer),
  xyz_to_lab: (args) => xyzToLab(args.xyz, args.white),
  difference: (args) => difference(args.formula, args.standard, args.trial, factors(args)),
  direction: (args) => direction(args.standard, args.trial),
  mean: (args) => mean(args.labs),
  mcdm: (args) => mcdm(args.labs, args.formula, factors(args)),
  covariance: (args) => covariance(args.labs, args.of),
  expanded_uncertainty: (args) => expanded(args.coverage_factor, args.standard_uncertainties),
  decision: (args) => decision(args.rule, args.difference, args.limit, args.expanded),
  grade: (args) => grade(args.difference, args.grades),
  index: (args) => index(args.index, args.lab, `${args.illuminant} ${args.observer}`, whitePoint(args.illuminant, args.observer)),
  adapted: (args) => adapted(args.lab, whitePoint(args.illuminant, args.observer), whitePoint(args.new_illuminant, args.new_observer), args.method),
  stated_uncertainty: (args) => statedUncertainty(args.difference, args.standard_uncertainty, args.coverage_factor),
  between: (args) => between(args.lab, args.nearest, args.runner_up, args.formula, factors(args)),
  translucency: (args) => difference(args.formula, args.over_white, args.over_black, factors(args)),
  contrast_ratio: (args) => contrastRatio(args.L_over_white, args.L_over_black),
  agrees: (args) => agrees(args.stated, args.expected, args.decimals),
  seconds_between: (args) => secondsBetween(args.one, args.other),
  is_later: (args) => isLater(args.one, args.other),
};
export const NEEDS_TABLES = new Set(["white_point", "spectrum_to_xyz", "index", "adapted"]);

const unlike = (expected, got) => (expected === got ? null : `expected ${JSON.stringify(expected)}, got ${JSON.stringify(got)}`);

function agree(got, expected, tolerance) {
  if (tolerance === undefined || got === null || expected === null) return got === expected;
  const [ones, twos] = [[got].flat(), [expected].flat()];
  return ones.length === twos.length && ones.every((one, at) => Math.abs(one - twos[at]) <= tolerance);
}

function doubleOf(bits) {
  return Buffer.from(bits, "hex").readDoubleBE();
}

// By kind of case: what differs, null where nothing does, undefined where this implementation has no such function.
export const VECTORS = {
  computation: ({function: name, args, expect, tolerance}) => {
    if (!(name in FUNCTIONS)) return undefined;
    const got = FUNCTIONS[name](args);
    return agree(got, expect, tolerance) ? null : `expected ${JSON.stringify(expect)}, got ${JSON.stringify(got)}`;
  },
  "canonical-number": ({ieee754, canonical: text}) => unlike(text, canonical(doubleOf(ieee754))),
  "canonical-document": ({text, canonical: form, sha256}) => {
    const {value} = decode(Buffer.from(text, "utf8"));
    return unlike(form, canonical(value)) ?? unlike(sha256, digest(value));
  },
  "base-digest": ({base: name, sha256}) => unlike(sha256, digest(decode(read(`bases/${name}.shade.json`)).value)),
  "as-it-was": ({base: name, patch, revision_id: id, sha256}) => unlike(sha256, digest(asItWas(patched(base(name), patch), id))),
  "file-form": ({text, file_form: form}) => {
    const {value} = decode(Buffer.from(text, "utf8"));
    return unlike(form, fileForm(value, schemaOf(value.kind)));
  },
};
