// The canonical form of JSON, of which hashes are made, for all that reads job files here and shares no code with the app.

// RFC 8785: keys in the order of their UTF-16 code units, which is how JavaScript compares strings; numbers and
// strings as ECMAScript writes them.
export function canonical(value) {
  if (Array.isArray(value)) return `[${value.map(canonical).join(',')}]`;
  if (value !== null && typeof value === 'object') {
    const keys = Object.keys(value).sort((a, b) => (a < b ? -1 : a > b ? 1 : 0));
    return `{${keys.map((key) => `${JSON.stringify(key)}:${canonical(value[key])}`).join(',')}}`;
  }
  if (typeof value === 'number' && !Number.isSafeInteger(value)) throw new Error(`not a safe whole number: ${value}`);
  return JSON.stringify(value);
}
