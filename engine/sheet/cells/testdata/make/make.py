"""Writes the spreadsheets of testdata by openpyxl and XlsxWriter. Those called strict and prefixed are by openpyxl, with other names in their XML.

How the whole corpus is made, on Debian 12 with python3-openpyxl, python3-xlsxwriter, libreoffice-calc and node:

    cd engine/sheet/cells/testdata/make
    npm install --no-save xlsx@0.18.5
    /usr/bin/python3 make.py && node make.js && go run make.go
    /usr/bin/python3 anew.py && /usr/bin/python3 want.py && node want.js
"""
import datetime as d
import xml.etree.ElementTree as ET
import zipfile

import openpyxl
import xlsxwriter
from openpyxl.styles import Font
from openpyxl.utils.datetime import CALENDAR_MAC_1904

HEAD = ["set", "id", "club", "length (in)", "by", "lie (deg)", "note"]
BAG = [HEAD, ["birch", "d1", "driver", 45.75, "soled", 58, None], ["birch", "i7", "7i", 37, "soled", 62.5, "new grip"],
       ["birch", "pw", "PW", "35 3/4", "soled", None, "44¾ ⁄ 45-3/4\" <&>"], [None] * 7, ["birch", "p", "putter", 34.125, "axis", 70.1 + 0.2, None]]


def opx(name, fill, **how):
    wb = openpyxl.Workbook()
    if how.get("mac"):
        wb.epoch = CALENDAR_MAC_1904
    fill(wb, wb.active)
    wb.save(f"../openpyxl-{name}.xlsx")


def rows(ws, table):
    for r, row in enumerate(table, 1):
        for c, v in enumerate(row, 1):
            if v is not None:
                ws.cell(r, c, v)


def dates(wb, ws):
    rows(ws, [["club", "made", "at", "when", "day", "fitted"], ["7i", d.date(2026, 4, 3), d.time(14, 30), d.datetime(2026, 5, 2, 9, 15), 44000, d.date(1900, 2, 27)],
              ["8i", d.date(1999, 12, 31), d.time(0, 0, 1), d.datetime(2000, 2, 29), 1.5, d.date(1904, 1, 2)]])
    for cell, code in {"B2": "yyyy-mm-dd", "B3": "dd.mm.yyyy", "C2": "h:mm", "D2": "d/m/yy h:mm", "D3": "[$-409]d-mmm;@", "E2": "mmm-yy"}.items():
        ws[cell].number_format = code


def formulas(wb, ws):
    rows(ws, [["club", "length (in)", "lie"], ["7i", "=36+1", "=IF(1>2,3,\"\")"], ["8i", 36.5, "='a b'!A1"]])


def merged(wb, ws):
    rows(ws, [["set", "club", "length (in)", "by"], ["elm", "7i", 37, "soled"], [None, "8i", 36.5, None], ["oak", "9i", 36, "soled"]])
    for area in ("A2:A3", "C2:C3", "D2:D3"):
        ws.merge_cells(area)


def formats(wb, ws):
    codes = ["General", "0", "0.00", "#,##0.00", "0%", "0.00%", "# ?/?", "# ??/??", "0.00E+00", "@", '0.00" in"', '0.00 "dd"', "[Red]0.0;[Blue]-0.0",
             "_-* #,##0.00_-", "[<10]0.0;0", '#\\ ?/16"day"', "#,##0.00 [$€-407]", "h:mm:ss", "d-mmm", "m/d/yy", '"Y" 0', "\\d0.0", "0.0%;-0.0%", "[h]:mm"]
    rows(ws, [["club", "value", "code"]] + [["7i", 0.4575, code] for code in codes])
    for r, code in enumerate(codes, 2):
        ws.cell(r, 2).number_format = code


def hidden(wb, ws):
    rows(ws, BAG)
    ws.row_dimensions[3].hidden = True
    ws.column_dimensions["E"].hidden = True
    ws.auto_filter.ref = "A1:G6"
    ws.freeze_panes = "A2"


def sheets(wb, ws):
    ws.title = "Notes & more"
    rows(ws, [["a note"], [None, "club"]])
    rows(wb.create_sheet("Mémbers #2"), [["club", "length (in)"], ["3w", 43]])
    wb.create_sheet("empty")
    wb.create_sheet("hidden", 0).sheet_state = "hidden"
    wb["hidden"]["A1"] = "club"
    wb.active = 1


def sparse(wb, ws):
    for cell, v in {"C3": "club", "IV3": "far", "C4": "7i", "C9000": "8i", "IV9000": 7, "A65000": "last"}.items():
        ws[cell] = v


def truths(wb, ws):
    rows(ws, [["club", "a", "b", "c"], ["7i", True, False, "#N/A"], ["8i", "#DIV/0!", "#REF!", "TRUE"], ["9i", "#NAME?", "#VALUE!", "#NUM!"]])


def texts(wb, ws):
    rows(ws, [["club", "note"], ["7i", "two\nlines"], ["8i", "  blanks  "], ["9i", "tab\there"], ["PW", "_x0041_ stays"], ["SW", "0042"], ["LW", "'quoted"], ["putter", "¾ ½ — „x“ 😀"]])
    ws["B6"].data_type = "s"
    ws["A2"].font = Font(bold=True)


def bag(wb, ws):
    rows(ws, BAG)


for name, fill in [("bag", bag), ("dates", dates), ("formulas", formulas), ("merged", merged), ("formats", formats), ("hidden", hidden), ("sheets", sheets),
                   ("sparse", sparse), ("truths", truths), ("texts", texts)]:
    opx(name, fill)
opx("dates1904", dates, mac=True)


def rework(source, name, change):
    """Writes a spreadsheet anew with the XML of each part changed."""
    with zipfile.ZipFile(f"../{source}") as old, zipfile.ZipFile(f"../{name}", "w", zipfile.ZIP_DEFLATED) as new:
        for part in old.namelist():
            new.writestr(zipfile.ZipInfo(part, (2026, 1, 1, 0, 0, 0)), change(part, old.read(part)), zipfile.ZIP_DEFLATED)


def strict(part, text):
    for a, b in [(b"http://schemas.openxmlformats.org/spreadsheetml/2006/main", b"http://purl.oclc.org/ooxml/spreadsheetml/main"),
                 (b"http://schemas.openxmlformats.org/officeDocument/2006/relationships", b"http://purl.oclc.org/ooxml/officeDocument/relationships")]:
        text = text.replace(a, b)
    if part == "xl/workbook.xml":
        text = text.replace(b"<workbook ", b'<workbook conformance="strict" ', 1)
    return text


def prefixed(part, text):
    main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    if main.encode() not in text or not part.endswith(".xml") or part.startswith("["):
        return text
    ET.register_namespace("x", main)
    ET.register_namespace("rel", "http://schemas.openxmlformats.org/officeDocument/2006/relationships")
    return ET.tostring(ET.fromstring(text), encoding="utf-8", xml_declaration=True)


for base in ("bag", "dates"):
    rework(f"openpyxl-{base}.xlsx", f"strict-{base}.xlsx", strict)
    rework(f"openpyxl-{base}.xlsx", f"prefixed-{base}.xlsx", prefixed)


def xw(name, fill, **options):
    wb = xlsxwriter.Workbook(f"../xlsxwriter-{name}.xlsx", options)
    fill(wb, wb.add_worksheet())
    wb.close()


def wrows(ws, table):
    for r, row in enumerate(table):
        for c, v in enumerate(row):
            if v is not None:
                ws.write(r, c, v)


def wrich(wb, ws):
    bold, red = wb.add_format({"bold": True}), wb.add_format({"font_color": "red"})
    wrows(ws, [["club", "length (in)", "note"], ["7i"], ["8i"]])
    ws.write_rich_string(1, 1, bold, "37", " 1/", red, "2 in")
    ws.write_rich_string(2, 1, "36", bold, " in")
    ws.write_rich_string(2, 2, " a ", bold, "bold ", "word")
    ws.write_comment(1, 0, "not a cell: 99")
    ws.write_url(1, 2, "https://example.com/7i", string="the shaft")


def wformulas(wb, ws):
    wrows(ws, [["club", "length (in)", "by", "lie", "note"]])
    for r, (club, f, v) in enumerate([("7i", "=36+1", 37), ("8i", "=74/2", 36.5), ("9i", "=1/3", 1 / 3)], 1):
        ws.write(r, 0, club)
        ws.write_formula(r, 1, f, None, v)
        ws.write_formula(r, 2, '="so"&"led"', None, "soled")
        ws.write_formula(r, 3, '=IF(A1="","",1/0)', None, ["", "#DIV/0!", True][r - 1])
        ws.write_array_formula(r, 4, r, 4, "{=SUM(B2:B4)}", None, 110.5)


def wdates(wb, ws):
    day, both, clock, text = (wb.add_format({"num_format": f}) for f in ("d mmmm yyyy", "yyyy-mm-dd hh:mm", "hh:mm AM/PM", "0.00"))
    wrows(ws, [["club", "on", "at", "time", "number"], ["7i"], ["8i"]])
    for r, (x, y, z) in enumerate([(d.date(2026, 4, 3), d.datetime(2026, 4, 3, 16, 45), d.time(7, 5)), (d.date(1970, 1, 1), d.datetime(2024, 2, 29), d.time(23, 59, 59))], 1):
        ws.write_datetime(r, 1, x, day)
        ws.write_datetime(r, 2, y, both)
        ws.write_datetime(r, 3, z, clock)
        ws.write_number(r, 4, 46115, text)


def wformats(wb, ws):
    wrows(ws, [["club", "value"]])
    for r, i in enumerate([0, 1, 2, 9, 10, 11, 12, 13, 14, 18, 20, 22, 37, 40, 45, 46, 47, 48, 49], 1):
        ws.write(r, 0, "7i")
        ws.write_number(r, 1, 0.4375, wb.add_format({"num_format": i}))


def wtable(wb, ws):
    ws.add_table("B3:D6", {"data": [["7i", 37.5], ["8i", 37]], "total_row": True, "columns": [{"header": "club"}, {"header": "length (in)", "total_function": "sum", "total_value": 74.5},
                 {"header": "half", "formula": "=[@[length (in)]]/2"}]})
    ws.set_row(4, None, None, {"hidden": True})
    ws.merge_range("F3:G5", "merged", wb.add_format())
    ws.data_validation("B4", {"validate": "list", "source": ["7i", "8i"]})
    ws.conditional_format("C4:C5", {"type": "data_bar"})


def wbag(wb, ws):
    wrows(ws, BAG)


xw("bag", wbag)
xw("rows", wbag, constant_memory=True)  # texts within their cells
xw("zip64", wbag, use_zip64=True)
xw("rich", wrich)
xw("formulas", wformulas)
xw("dates", wdates)
xw("dates1904", wdates, date_1904=True)
xw("formats", wformats)
xw("table", wtable)
