// Writes the spreadsheets of this folder by SheetJS; how it is run is said in make.py.
const X = require("xlsx");
const bag = [["set", "id", "club", "length (in)", "by", "lie (deg)"], ["birch", "d1", "driver", 45.75, "soled", 58], ["birch", "i7", "7i", "37 1/2", "soled", 62.5],
  [], ["birch", "p", "putter", 34.125, "axis", 70.3], ["birch", "x", "3w", true, null, false]];
function write(name, sheets, how = {}, props = {}) {
  const book = X.utils.book_new();
  for (const [title, cells] of Object.entries(sheets)) X.utils.book_append_sheet(book, Array.isArray(cells) ? X.utils.aoa_to_sheet(cells, how) : cells, title);
  book.Workbook = { WBProps: props };
  X.writeFile(book, "../sheetjs-" + name, { compression: true, ...how });
}
const odd = X.utils.aoa_to_sheet(bag);
Object.assign(odd, {
  D2: { t: "n", v: 45.75, z: "# ?/?" }, D3: { t: "n", v: 0.375, z: "0.00%" }, F2: { t: "n", f: "50+8", v: 58 }, F3: { t: "s", f: '"6"&"2"', v: "62" }, F5: { t: "e", v: 0x17 },
  D5: { t: "n", v: 46115, z: "yyyy\\-mm\\-dd" }, D6: { t: "n", v: 0.1 + 0.2 }, E6: { t: "s", v: "rich", r: "<r><t>rich</t></r>" },
});
odd["!merges"] = [{ s: { r: 1, c: 0 }, e: { r: 2, c: 0 } }];
for (const type of ["xlsx", "ods"]) {
  write("bag." + type, { Bag: bag });
  write("odd." + type, { Odd: odd });
  write("sheets." + type, { One: [["club"], ["7i"]], "Two & three": [["club", "id"], [null, null], ["8i", 7]] });
}
write("shared.xlsx", { Bag: bag }, { bookSST: true });
write("stored.xlsx", { Bag: bag }, { compression: false });
write("days.xlsx", { Bag: [["club", "on"], ["7i", new Date(Date.UTC(2026, 3, 3))], ["8i", new Date(Date.UTC(1999, 11, 31))]] }, { cellDates: true });
write("days1904.xlsx", { Bag: odd }, {}, { date1904: true });
