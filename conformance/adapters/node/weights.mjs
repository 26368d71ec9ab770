// Spectrum to XYZ (section 8.2): weighting factors by ASTM E2022, ends folded in by ASTM E308.
// The tables of CIE are read from comma-separated text: wavelength, then one value or three.

import {existsSync, readFileSync} from "node:fs";

const TABLES = new URL("../../../schema/1.0/tables/", import.meta.url);
const loaded = new Map();

export const tablesAreThere = existsSync(TABLES);

function table(name) {
  if (!loaded.has(name)) {
    const rows = readFileSync(new URL(`${name}.csv`, TABLES), "utf8").split(/\r?\n/);
    loaded.set(name, new Map(rows.filter((row) => /^[0-9]/.test(row)).map((row) => {
      const [wavelength, ...values] = row.split(",").map(Number);
      return [wavelength, values];
    })));
  }
  return loaded.get(name);
}

// Products of power and colour matching functions, scaled so that those of y sum to 100: [wavelength, x, y, z].
function products(illuminant, observer) {
  const basis = `${illuminant} ${observer}`;
  if (!loaded.has(basis)) loaded.set(basis, made(illuminant, observer));
  return loaded.get(basis);
}

function made(illuminant, observer) {
  const functions = table(`observer-${observer}`);
  const rows = [...table(`illuminant-${illuminant}`)]
    .filter(([wavelength]) => functions.has(wavelength))
    .map(([wavelength, [power]]) => [wavelength, ...functions.get(wavelength).map((value) => power * value)]);
  const scale = 100 / rows.reduce((total, row) => total + row[2], 0);
  return rows.map(([wavelength, ...values]) => [wavelength, ...values.map((value) => value * scale)]);
}

export function whitePoint(illuminant, observer) {
  const rows = products(illuminant, observer);
  return [1, 2, 3].map((axis) => rows.reduce((total, row) => total + row[axis], 0));
}

export function gridOf(spectrum) {
  const {wavelengths_nm: listed, start_nm: start, step_nm: step, values} = spectrum;
  if (listed !== undefined) return start === undefined && step === undefined ? listed : null;
  return start === undefined || step === undefined ? null : values.map((_, at) => start + at * step);
}

// Null where nothing is computed from the grid or for the basis.
export function spectrumToXyz(spectrum, illuminant, observer) {
  const grid = gridOf(spectrum);
  if (grid === null || grid.length !== spectrum.values.length || grid[0] < 360 || grid.at(-1) > 830) return null;
  if (grid.some((nm, at) => at > 0 && (nm <= grid[at - 1] || nm - grid[at - 1] > 20 + 1e-9))) return null;
  const rows = products(illuminant, observer);
  const nodes = continued(grid, rows[0][0], rows.at(-1)[0]);
  const skipped = nodes.indexOf(grid[0]);
  const xyz = [0, 0, 0];
  for (const [wavelength, ...values] of rows) {
    for (const [node, share] of shares(nodes, wavelength)) {
      const own = Math.min(Math.max(node - skipped, 0), grid.length - 1);
      values.forEach((value, axis) => { xyz[axis] += share * value * spectrum.values[own]; });
    }
  }
  return xyz;
}

function continued(grid, lowest, highest) {
  const nodes = [...grid];
  const [down, up] = [grid[1] - grid[0], grid.at(-1) - grid.at(-2)];
  while (nodes[0] - down >= lowest) nodes.unshift(nodes[0] - down);
  while (nodes.at(-1) + up <= highest) nodes.push(nodes.at(-1) + up);
  return nodes;
}

// Lagrange coefficients of the two nodes around a wavelength and the next on either side, as far as they exist.
function shares(nodes, wavelength) {
  if (wavelength <= nodes[0]) return [[0, 1]];
  if (wavelength >= nodes.at(-1)) return [[nodes.length - 1, 1]];
  const above = nodes.findIndex((node) => node > wavelength);
  const used = [above - 2, above - 1, above, above + 1].filter((node) => node >= 0 && node < nodes.length);
  return used.map((node) => {
    const others = used.filter((other) => other !== node);
    return [node, others.reduce((share, other) => (share * (wavelength - nodes[other])) / (nodes[node] - nodes[other]), 1)];
  });
}
