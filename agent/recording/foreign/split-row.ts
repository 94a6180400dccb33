/** The fields of one line: quoted ones may hold the delimiter and doubled quotes (RFC 4180, with a delimiter of one's own). */
export function splitRow(line: string, delimiter: string): readonly string[] {
  if (!line.includes('"')) return line.split(delimiter);
  const fields: string[] = [];
  let field = '';
  let quoted = false;
  for (let i = 0; i < line.length; i++) {
    const character = line[i] as string;
    if (quoted && character === '"' && line[i + 1] === '"') {
      field += '"';
      i++;
    } else if (character === '"' && (quoted || field === '')) quoted = !quoted;
    else if (character === delimiter && !quoted) {
      fields.push(field);
      field = '';
    } else field += character;
  }
  return [...fields, field];
}
