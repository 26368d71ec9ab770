// The computations of section 8 that need no tables. Colours are arrays [L, a, b].

const degrees = (angle) => (angle * 180) / Math.PI;
const radians = (angle) => (angle * Math.PI) / 180;
const sum = (values) => values.reduce((total, each) => total + each, 0);

export const halfUnit = (decimals) => 0.5 * 10 ** -decimals;
export const nine = (value) => Number(value.toFixed(9));

export function agrees(stated, expected, decimals, more = 0) {
  return Math.abs(stated - expected) <= halfUnit(decimals) + 1e-6 + more;
}

export function xyzToLab(xyz, white) {
  const [x, y, z] = xyz.map((value, axis) => {
    const t = value / white[axis];
    return t > 216 / 24389 ? Math.cbrt(t) : ((24389 / 27) * t + 16) / 116;
  });
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}

export function labToXyz([L, a, b], white) {
  const y = (L + 16) / 116;
  return [y + a / 500, y, y - b / 200].map((f, axis) => {
    const t = f > 6 / 29 ? f ** 3 : (116 * f - 16) / (24389 / 27);
    return t * white[axis];
  });
}

export function difference(formula, standard, trial, [k_L, k_C, k_H] = [1, 1, 1]) {
  if (formula === "CIELAB") return Math.hypot(...standard.map((value, axis) => trial[axis] - value));
  if (formula === "CIE94") return cie94(standard, trial, k_L, k_C, k_H);
  return ciede2000(standard, trial, k_L, k_C, k_H);
}

function cie94(standard, trial, k_L, k_C, k_H) {
  const [dL, da, db] = standard.map((value, axis) => trial[axis] - value);
  const C = Math.hypot(standard[1], standard[2]);
  const dC = Math.hypot(trial[1], trial[2]) - C;
  const dH2 = Math.max(da * da + db * db - dC * dC, 0);
  const [S_C, S_H] = [1 + 0.045 * C, 1 + 0.015 * C];
  return Math.sqrt((dL / k_L) ** 2 + (dC / (k_C * S_C)) ** 2 + dH2 / (k_H * S_H) ** 2);
}

function ciede2000(standard, trial, k_L, k_C, k_H) {
  const rise = (C) => Math.sqrt(C ** 7 / (C ** 7 + 25 ** 7));
  const G = 0.5 * (1 - rise((Math.hypot(standard[1], standard[2]) + Math.hypot(trial[1], trial[2])) / 2));
  const [one, two] = [standard, trial].map(([L, a, b]) => {
    const red = (1 + G) * a;
    const hue = red === 0 && b === 0 ? 0 : (degrees(Math.atan2(b, red)) + 360) % 360;
    return {L, C: Math.hypot(red, b), h: hue};
  });
  const grey = one.C * two.C === 0;
  let turn = grey ? 0 : two.h - one.h;
  if (turn > 180) turn -= 360;
  else if (turn < -180) turn += 360;
  const dH = 2 * Math.sqrt(one.C * two.C) * Math.sin(radians(turn / 2));
  const [L, C] = [(one.L + two.L) / 2, (one.C + two.C) / 2];
  let h = one.h + two.h;
  if (!grey) {
    if (Math.abs(one.h - two.h) <= 180) h /= 2;
    else h = h < 360 ? h / 2 + 180 : h / 2 - 180;
  }
  const cos = (angle) => Math.cos(radians(angle));
  const T = 1 - 0.17 * cos(h - 30) + 0.24 * cos(2 * h) + 0.32 * cos(3 * h + 6) - 0.2 * cos(4 * h - 63);
  const S_L = 1 + (0.015 * (L - 50) ** 2) / Math.sqrt(20 + (L - 50) ** 2);
  const R_T = -2 * rise(C) * Math.sin(radians(60 * Math.exp(-(((h - 275) / 25) ** 2))));
  const l = (two.L - one.L) / (k_L * S_L);
  const c = (two.C - one.C) / (k_C * (1 + 0.045 * C));
  const turned = dH / (k_H * (1 + 0.015 * C * T));
  return Math.sqrt(Math.max(l * l + c * c + turned * turned + R_T * c * turned, 0));
}

export function nearlyOpposite(one, two) {
  if (Math.hypot(one[1], one[2]) === 0 || Math.hypot(two[1], two[2]) === 0) return false;
  const apart = Math.abs(degrees(Math.atan2(one[2], one[1]) - Math.atan2(two[2], two[1]))) % 360;
  return Math.abs(apart - 180) < 0.5;
}

export function direction(standard, trial) {
  const [L, a, b] = standard.map((value, axis) => trial[axis] - value);
  const chroma = Math.hypot(trial[1], trial[2]) - Math.hypot(standard[1], standard[2]);
  const hue = Math.sqrt(Math.max(a * a + b * b - chroma * chroma, 0));
  const turn = standard[1] * trial[2] - standard[2] * trial[1];
  return [L, a, b, chroma, turn < 0 ? -hue : hue];
}

export function mean(labs) {
  return [0, 1, 2].map((axis) => sum(labs.map((lab) => lab[axis])) / labs.length);
}

export function mcdm(labs, formula, factors) {
  const middle = mean(labs);
  return sum(labs.map((lab) => difference(formula, middle, lab, factors))) / labs.length;
}

// var_L, var_a, var_b, cov_La, cov_Lb, cov_ab
export function covariance(labs, of) {
  const middle = mean(labs);
  const divisor = (labs.length - 1) * (of === "mean" ? labs.length : 1);
  const shared = (one, two) => sum(labs.map((lab) => (lab[one] - middle[one]) * (lab[two] - middle[two]))) / divisor;
  return [[0, 0], [1, 1], [2, 2], [0, 1], [0, 2], [1, 2]].map(([one, two]) => shared(one, two));
}

export function expanded(coverage, uncertainties) {
  return coverage * Math.sqrt(sum(uncertainties.map((each) => each * each)));
}

export function grade(size, grades) {
  return grades.find((each) => each.at_most === undefined || size <= each.at_most)?.grade ?? null;
}

export function decision(rule, size, limit, U) {
  if (rule === "simple") return nine(size) <= nine(limit) ? "conforms" : "does-not-conform";
  if (U === undefined) return null;
  if (nine(size + U) <= nine(limit)) return "conforms";
  if (rule === "guarded" || nine(size - U) > nine(limit)) return "does-not-conform";
  return nine(size) <= nine(limit) ? "conditionally-conforms" : "conditionally-fails";
}

const E313 = {"C 2-degree": [1.2769, 1.0592], "D65 2-degree": [1.2985, 1.1335], "C 10-degree": [1.2871, 1.0781], "D65 10-degree": [1.3013, 1.1498]};

// Null where the index is not defined for the illuminant and observer.
export function index(name, lab, basis, white) {
  if (name === "WI_D") return basis === "D65 2-degree" ? 0.511 * lab[0] - 2.324 * lab[1] - 1.1 * lab[2] : null;
  const xyz = labToXyz(lab, white);
  if (name === "YI-E313") return basis in E313 && xyz[1] > 0 ? (100 * (E313[basis][0] * xyz[0] - E313[basis][1] * xyz[2])) / xyz[1] : null;
  if (!basis.startsWith("D65 ")) return null;
  const [[x, y], [x_n, y_n]] = [xyz, white].map(([X, Y, Z]) => [X / (X + Y + Z), Y / (X + Y + Z)]);
  if (name === "CIE-tint") return (basis === "D65 2-degree" ? 1000 : 900) * (x_n - x) - 650 * (y_n - y);
  const [red, green] = name === "WIO" ? [1075.012, 145.516] : [800, 1700];
  return xyz[1] + red * (x_n - x) + green * (y_n - y);
}

// Chromatic adaptation (section 8.15): XYZ to cone responses, scaled by the ratio of those of the whites, and back.
const CONES = {
  CAT16: [[0.401288, 0.650173, -0.051461], [-0.250268, 1.204414, 0.045854], [-0.002079, 0.048952, 0.953127]],
  Bradford: [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]],
};

const times = (matrix, vector) => matrix.map((row) => sum(row.map((each, at) => each * vector[at])));

// Solves matrix * x = right by Cramer's rule.
function solved(matrix, right) {
  const determinant = ([[a, b, c], [d, e, f], [g, h, i]]) => a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
  const whole = determinant(matrix);
  return [0, 1, 2].map((column) => determinant(matrix.map((row, at) => row.map((each, place) => (place === column ? right[at] : each)))) / whole);
}

export function adapted(lab, white, newWhite, method) {
  const [own, before, after] = [labToXyz(lab, white), white, newWhite].map((xyz) => times(CONES[method], xyz));
  return xyzToLab(solved(CONES[method], own.map((each, at) => (each * after[at]) / before[at])), newWhite);
}

const ROOT_OF_CHI_SQUARE = 2.7954834829151074; // 95 % point, three degrees of freedom

export function statedUncertainty(size, standard, coverage) {
  return size <= ROOT_OF_CHI_SQUARE * standard ? ROOT_OF_CHI_SQUARE * standard : coverage * standard;
}

// Position of the foot on the segment from the nearest (0) to the runner-up (1), and the residual.
export function between(lab, nearest, runnerUp, formula, factors) {
  const step = nearest.map((value, axis) => runnerUp[axis] - value);
  const square = sum(step.map((each) => each * each));
  const along = sum(step.map((each, axis) => each * (lab[axis] - nearest[axis])));
  const position = square === 0 ? 0 : Math.min(Math.max(along / square, 0), 1);
  return [position, difference(formula, lab, nearest.map((value, axis) => value + position * step[axis]), factors)];
}

// Null where nothing comes back over white.
export function contrastRatio(overWhite, overBlack) {
  const [white, black] = [overWhite, overBlack].map((L) => labToXyz([L, 0, 0], [100, 100, 100])[1]);
  return white > 0 && black >= 0 ? black / white : null;
}
