// Timestamps (section 4.3).

const SHAPE = /^([0-9]{4})-([0-9]{2})-([0-9]{2})(?:T([0-9]{2}):([0-9]{2})(?::([0-9]{2})(\.[0-9]{1,9})?)?(Z|[+-][0-9]{2}:[0-9]{2})?)?$/;

// {day, seconds, local}: days of the writer's calendar, seconds on the UTC scale and on the writer's clock, as known.
export function moment(text) {
  const found = SHAPE.exec(text ?? "");
  if (!found) return null;
  const [year, month, date, hour, minute, second] = found.slice(1, 7).map((part) => Number(part ?? 0));
  const day = dayNumber(year, month, date);
  const offset = offsetSeconds(found[8]);
  if (day === null || hour > 23 || minute > 59 || second > 59 || offset === null) return null;
  if (found[4] === undefined) return {day, seconds: null, local: null};
  const local = day * 86400 + hour * 3600 + minute * 60 + second + Number(found[7] ?? 0);
  return {day, local, seconds: found[8] === undefined ? null : local - offset};
}

export function secondsBetween(later, earlier) {
  const [two, one] = [moment(later), moment(earlier)];
  if (!one || !two) return null;
  if (one.seconds !== null && two.seconds !== null) return two.seconds - one.seconds;
  const bare = one.seconds === null && two.seconds === null && one.local !== null && two.local !== null;
  return bare ? two.local - one.local : null;
}

export function isLater(one, other) {
  const seconds = secondsBetween(one, other);
  if (seconds !== null) return seconds > 0;
  const [first, second] = [moment(one), moment(other)];
  if (!first || !second) return false;
  const mixed = (first.seconds === null) !== (second.seconds === null);
  return first.day - second.day >= (mixed ? 2 : 1);
}

function dayNumber(year, month, date) {
  const leap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
  const lengths = [31, leap ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
  if (year < 1 || month < 1 || month > 12 || date < 1 || date > lengths[month - 1]) return null;
  const before = year - 1;
  const years = before * 365 + Math.floor(before / 4) - Math.floor(before / 100) + Math.floor(before / 400);
  return years + lengths.slice(0, month - 1).reduce((sum, each) => sum + each, 0) + date;
}

function offsetSeconds(text) {
  if (text === undefined || text === "Z") return 0;
  const [hours, minutes] = [Number(text.slice(1, 3)), Number(text.slice(4, 6))];
  if (hours > 23 || minutes > 59) return null;
  return (text[0] === "-" ? -1 : 1) * (hours * 3600 + minutes * 60);
}
