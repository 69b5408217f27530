// Writes down what SheetJS reads of each .ods and of the strict .xlsx of this folder, as want.py does; how it is run is
// said in make.py.
const X = require("xlsx"), fs = require("fs");
const plain = (n) => { const s = String(Number(n.toPrecision(15))); return s.includes("e") ? n.toFixed(20).replace(/\.?0+$/, "") : s; };
const percent = (z) => z && z.replace(/"[^"]*"|\\./g, "").includes("%");
function text(c) {
  switch (c.t) {
    case "b": return c.v ? "TRUE" : "FALSE";
    case "e": return c.w;
    case "d": return c.v.toISOString().slice(0, 10);
    case "n":
      if (c.z && X.SSF.is_date(c.z)) {
        const p = X.SSF.parse_date_code(c.v), two = (n) => String(n).padStart(2, "0");
        return c.v < 1 ? [p.H, p.M, p.S].map(two).join(":") : `${p.y}-${two(p.m)}-${two(p.d)}`;
      }
      return percent(c.z) ? plain(c.v * 100) + " %" : plain(c.v);
  }
  return c.v === undefined ? "" : String(c.v).trim();
}
for (const file of fs.readdirSync("..").filter((f) => f.endsWith(".ods") || /^strict.*xlsx$/.test(f))) {
  const book = X.readFile("../" + file, { cellNF: true, cellText: true }), name = book.SheetNames[0], sheet = book.Sheets[name];
  let out = `# read by SheetJS ${X.version}\n# sheet: ${JSON.stringify(name)}\n`;
  for (const name of Object.keys(sheet).filter((k) => !k.startsWith("!"))) {
    const s = text(sheet[name]);
    if (s) out += `${name} ${JSON.stringify(s)}\n`;
  }
  fs.writeFileSync(`../${file}.want`, out);
}
