// JSON text to value (specification, section 3.1), with every fault and its place: code, line, column.

const MOST_BYTES = 64 * 1024 * 1024;
const MOST_LEVELS = 64;
const NUMBER = /-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?(?:[eE][-+]?[0-9]+)?/y;
const NUMBER_LIKE = /[-+.0-9A-Za-z_]*/y;
const NUMBER_BEGUN = /^(?:-|-?(?:0|[1-9][0-9]*)(?:\.|(?:\.[0-9]+)?[eE][-+]?))$/;
const NOT_FINITE = /[-+]?(?:infinity|inf|nan)(?![A-Za-z0-9_])/iy;
const WORD = /[A-Za-z_][A-Za-z0-9_]*/y;
const LITERALS = new Map([["true", true], ["false", false], ["null", null]]);
const OTHER_MARK = /^(?:\xff\xfe|\xfe\xff|\x00\x00\xfe\xff)/;
const ESCAPES = {'"': '"', "\\": "\\", "/": "/", b: "\b", f: "\f", n: "\n", r: "\r", t: "\t"};

// Names of an object in the order of its text; objects of JavaScript put names such as "1" first.
const NAMES = new WeakMap();
export const namesOf = (object) => NAMES.get(object) ?? Object.keys(object);

class Stop extends Error {}

// {value, faults}: `value` is undefined where there is none.
export function decode(data) {
  if (data.length > MOST_BYTES) return {faults: [["syntax-too-large", 1, 1]]};
  if (OTHER_MARK.test(data.toString("latin1", 0, 4)) || zeroBytesOfOthers(data)) return {faults: [["syntax-encoding-not-utf8", 1, 1]]};
  const faults = [];
  if (data[0] === 0xef && data[1] === 0xbb && data[2] === 0xbf) {
    faults.push(["syntax-byte-order-mark", 1, 1]);
    data = data.subarray(3);
  }
  const wrong = firstWrongByte(data);
  if (wrong !== null) {
    const code = isBegun(data.subarray(wrong)) ? "syntax-text-unfinished" : "syntax-encoding-not-utf8";
    return {faults: [...faults, [code, ...place(data.subarray(0, wrong).toString("utf8"))]]};
  }
  const text = data.toString("utf8");
  const reader = new Reader(text);
  const value = reader.read();
  for (const [code, at] of reader.noted.sort((one, two) => one[1] - two[1])) {
    faults.push([code, ...place(text.slice(0, at))]);
  }
  return {value: reader.noted.length ? undefined : value, faults};
}

function zeroBytesOfOthers(data) {
  return /^(?:0001|1000|0101|1010|01|10)$/.test([...data.subarray(0, 4)].map((byte) => (byte === 0 ? 0 : 1)).join(""));
}

// Whether a few bytes at the end of a text begin a character that is not whole.
function isBegun(bytes) {
  const strict = new TextDecoder("utf-8", {fatal: true});
  try {
    strict.decode(bytes, {stream: true}); // fails only where nothing that could follow makes the bytes right
    return true;
  } catch {
    return false;
  }
}

function firstWrongByte(data) {
  const strict = new TextDecoder("utf-8", {fatal: true, ignoreBOM: true});
  try {
    strict.decode(data);
    return null;
  } catch {
    let at = 0;
    while (at < data.length) {
      const length = [1, 2, 3, 4].find((many) => soundCharacter(strict, data.subarray(at, at + many)));
      if (length === undefined) return at;
      at += length;
    }
    return at;
  }
}

function soundCharacter(strict, bytes) {
  try {
    return strict.decode(bytes).length > 0;
  } catch {
    return false;
  }
}

function place(before) {
  const lines = before.split(/\r\n|\r|\n/);
  return [lines.length, [...lines.at(-1)].length + 1];
}

class Reader {
  constructor(text) {
    this.text = text;
    this.at = 0;
    this.noted = [];
  }

  read() {
    try {
      if (this.skip() === "") this.stop("syntax-empty", this.text.length);
      const value = this.value(1);
      if (this.skip() !== "") this.stop("syntax-trailing-content", this.at);
      return value;
    } catch (failure) {
      if (!(failure instanceof Stop)) throw failure;
      return undefined;
    }
  }

  note(code, at) {
    this.noted.push([code, at]);
  }

  stop(code, at) {
    this.note(code, at);
    throw new Stop();
  }

  unfinished() {
    this.stop("syntax-text-unfinished", this.text.length);
  }

  unexpected() {
    if (this.at >= this.text.length) this.unfinished();
    this.stop("syntax-unexpected", this.at);
  }

  skip() {
    while (" \t\n\r".includes(this.text[this.at] ?? "x")) this.at += 1;
    return this.text[this.at] ?? "";
  }

  match(pattern) {
    pattern.lastIndex = this.at;
    return pattern.exec(this.text)?.[0] ?? "";
  }

  value(level) {
    const character = this.skip();
    if (character === "{" || character === "[") {
      if (level > MOST_LEVELS) return this.tooDeep();
      return character === "{" ? this.object(level) : this.list(level);
    }
    if (character === '"') return this.string();
    if (character !== "" && "-0123456789".includes(character)) return this.number();
    return this.word(character);
  }

  object(level) {
    const found = {};
    const names = new Set();
    this.at += 1;
    for (let first = true; ; first = false) {
      let character = this.skip();
      if (character === "}") break;
      if (!first) character = this.after(",");
      if (character !== '"') this.unexpected();
      const at = this.at;
      const name = this.string();
      if (names.has(name)) this.note("syntax-member-duplicate", at);
      names.add(name);
      this.skip();
      this.after(":");
      const item = this.value(level + 1);
      Object.defineProperty(found, name, {value: item, enumerable: true, writable: true, configurable: true});
    }
    this.at += 1;
    NAMES.set(found, [...names]);
    return found;
  }

  list(level) {
    const found = [];
    this.at += 1;
    for (let first = true; ; first = false) {
      if (this.skip() === "]") break;
      if (!first) this.after(",");
      found.push(this.value(level + 1));
    }
    this.at += 1;
    return found;
  }

  after(mark) {
    if (this.text[this.at] !== mark) this.unexpected();
    this.at += 1;
    return this.skip();
  }

  tooDeep() {
    this.note("syntax-too-deep", this.at);
    for (let depth = 0; this.at < this.text.length; this.at += 1) {
      const character = this.text[this.at];
      if (character === '"') {
        const end = /"(?:[^"\\]|\\[^])*"/y;
        end.lastIndex = this.at;
        if (!end.exec(this.text)) this.unfinished();
        this.at = end.lastIndex - 1;
      } else if ("[{".includes(character)) depth += 1;
      else if ("]}".includes(character) && --depth === 0) {
        this.at += 1;
        return null;
      }
    }
    return this.unfinished();
  }

  number() {
    if (this.match(NOT_FINITE)) return this.notFinite();
    const text = this.match(NUMBER_LIKE);
    if (this.match(NUMBER) !== text) {
      const ends = this.at + text.length === this.text.length;
      if (ends && NUMBER_BEGUN.test(text)) this.unfinished();
      this.stop("syntax-number-malformed", this.at);
    }
    const number = Number(text);
    if (!/[.eE]/.test(text) && !Number.isSafeInteger(number)) this.note("syntax-integer-unsafe", this.at);
    else if (!Number.isFinite(number)) this.note("syntax-number-not-finite", this.at);
    this.at += text.length;
    return number === 0 ? 0 : number;
  }

  notFinite() {
    this.note("syntax-number-not-finite", this.at);
    this.at += this.match(NOT_FINITE).length;
    return 0;
  }

  word(character) {
    if ("+.".includes(character || "x") && /[0-9]/.test(this.text[this.at + 1] ?? "")) {
      this.stop("syntax-number-malformed", this.at);
    }
    if (this.match(NOT_FINITE)) return this.notFinite();
    const word = this.match(WORD);
    if (LITERALS.has(word)) {
      this.at += word.length;
      return LITERALS.get(word);
    }
    const ends = word !== "" && this.at + word.length === this.text.length;
    if (ends && [...LITERALS.keys()].some((each) => each.startsWith(word))) this.unfinished();
    return this.unexpected();
  }

  string() {
    let found = "";
    for (this.at += 1; ; this.at += 1) {
      const character = this.text[this.at];
      if (character === undefined) this.unfinished();
      if (character === '"') break;
      if (character < " ") this.stop("syntax-string-control-character", this.at);
      found += character === "\\" ? this.escape() : character;
    }
    this.at += 1;
    return found;
  }

  // At a backslash; leaves `at` on the last character of the escape.
  escape() {
    const at = this.at;
    const letter = this.text[at + 1];
    if (letter === undefined) this.unfinished();
    if (letter !== "u") {
      if (!(letter in ESCAPES)) this.stop("syntax-escape-invalid", at);
      this.at += 1;
      return ESCAPES[letter];
    }
    const unit = this.unit(at);
    this.at += 5;
    if (unit >= 0xd800 && unit < 0xdc00 && this.text.startsWith("\\u", this.at + 1)) {
      const second = this.unit(this.at + 1);
      if (second >= 0xdc00 && second < 0xe000) {
        this.at += 6;
        return String.fromCharCode(unit, second);
      }
    }
    if (unit >= 0xd800 && unit < 0xe000) this.note("syntax-surrogate-lone", at);
    return String.fromCharCode(unit);
  }

  unit(at) {
    const digits = this.text.slice(at + 2, at + 6);
    if (/^[0-9a-fA-F]{4}$/.test(digits)) return parseInt(digits, 16);
    if (at + 2 + digits.length === this.text.length && /^[0-9a-fA-F]*$/.test(digits)) this.unfinished();
    return this.stop("syntax-escape-invalid", at);
  }
}
